import { fitHand } from '../move/fit';
import { handTask } from '../move/hand-task';
import type { NotePlan } from '../move/plan';
import { settle as settleHand } from '../move/settle';
import { applyFingering } from '../neck/apply';
import { checkPlayable, type Violation } from '../neck/playable';
import { indexFingerFret } from '../neck/positions';
import type { Fingering, FingeringProblem } from '../neck/problem';
import { type NoteWish, problemOf } from '../neck/problem-of';
import { findFingerings } from '../neck/solve';
import { graceKey } from '../neck/timeline';
import { playableFrets } from '../phrase/instrument';
import type { NoteId, Phrase, PitchedNote, Place } from '../phrase/types';
import { heardPitch, mapNotes, notesOf } from '../phrase/walk';
import { analyse } from '../understand/analyse';
import { checkPhrase } from '../validity/check-phrase';
import { mendAfter } from '../validity/mend';
import type { Draft } from './draft';

/** A draft with places, valid and playable. */
export interface PlacedDraft {
  readonly phrase: Phrase;
  /** Signs that had to give way, as trade words. */
  readonly gaveWay: readonly string[];
}

/**
 * Gives a draft its places on the neck by the fingering engine: what was not touched stays where it
 * is if that can be, else everything is sought in the area of the hand (M12), else on the whole neck.
 * @returns null where the result is not valid, breaks a hard rule that the original keeps (N3), or
 *   touches what every variation keeps: chords, key, instrument, tempo.
 */
export function placeDraft(before: Phrase, draft: Draft): PlacedDraft | null {
  const known = new Set(checkPlayable(before).map(keyOf));
  let best: { readonly placed: PlacedDraft; readonly cost: number } | null = null;
  let tried = 0;
  for (const placed of placesOf(before, draft)) {
    // The first two ways are weighed against each other; more are for need only.
    if (best !== null && tried >= WEIGHED) break;
    tried++;
    const mended = mendAfter(before, placed);
    if (!mended.ok) continue;
    const { phrase, gaveWay } = mended;
    if (checkPlayable(phrase).some((v) => !known.has(keyOf(v)))) continue;
    if (checkPhrase(phrase).length > 0 || !keepsFrame(before, phrase)) continue;
    const cost = (effortOf(phrase) ?? UNKNOWN) + MOVED * movedNotes(before, phrase);
    if (best === null || cost < best.cost) best = { placed: { phrase, gaveWay }, cost };
  }
  return best?.placed ?? null;
}

const WEIGHED = 2;

/** Effort where a hard rule was broken before and still is. */
const UNKNOWN = 1_000;

/** What it costs a player, in effort, to find a note of the phrase at another place than before. */
const MOVED = 0.4;

function movedNotes(a: Phrase, b: Phrase): number {
  const was = new Map(notesOf(a).map(({ note }) => [note.id, note]));
  return notesOf(b).filter(({ note }) => {
    const old = was.get(note.id);
    return old !== undefined && (old.string !== note.string || old.fret !== note.fret);
  }).length;
}

/** The same rule broken by the same notes is the same fault, and no variation's. */
function keyOf(v: Violation): string {
  return `${v.rule}:${[...v.noteIds].sort().join(',')}`;
}

/** Whether what every variation keeps is kept: chords, key, instrument, tempo. */
export function keepsFrame(a: Phrase, b: Phrase): boolean {
  const frame = (p: Phrase) => JSON.stringify([p.chords, p.key, p.instrument, p.tempo, p.pickup]);
  return frame(a) === frame(b);
}

function* placesOf(before: Phrase, draft: Draft): Generator<Phrase> {
  switch (draft.kind) {
    case 'as it lies':
      yield draft.phrase;
      return;
    case 'pitches':
      yield* repitched(draft);
      return;
    case 'notes':
      yield* fingered(before, draft);
  }
}

function* fingered(before: Phrase, draft: Draft & { kind: 'notes' }): Generator<Phrase> {
  const p = draft.phrase;
  const finger = indexFingerFret(before);
  const frets = playableFrets(p.instrument);
  const places = placesIn(p);
  const area = (below: number, above: number): NoteWish => ({
    fretRange: [Math.max(0, finger - below), Math.min(frets, finger + above)],
  });
  const stays =
    (near: NoteWish) =>
    (id: NoteId): NoteWish => {
      const place = draft.free.has(id) ? undefined : places.get(id);
      return place === undefined ? near : { onlyString: place.string, onlyFret: place.fret };
    };
  const wishes = [stays({}), () => area(1, 4), () => area(4, 8), () => ({})];
  for (const wish of wishes) {
    const problem = problemOf(p, { wishes: wish });
    const found = findFingerings(problem)[0];
    if (found !== undefined) yield withoutStaleFingers(p, applyFingering(p, found));
  }
}

/** Where everything of a phrase lies, by note id and grace key. */
export function placesIn(p: Phrase): ReadonlyMap<NoteId, Place> {
  const places = new Map<NoteId, Place>();
  for (const v of p.voices) {
    for (const e of v.events) {
      for (const n of e.notes) places.set(n.id, n);
      e.graces?.forEach((g, i) => {
        for (const [k, n] of g.notes.entries()) places.set(graceKey(e, i, k), n);
      });
    }
  }
  return places;
}

/** A finger that was named for a place that is left does not go along. */
export function withoutStaleFingers(before: Phrase, after: Phrase): Phrase {
  const places = placesIn(before);
  return mapNotes(after, ({ note }) => {
    if (note.kind === 'dead' || note.finger === undefined || note.finger === 'T') return note;
    const was = places.get(note.id);
    if (was !== undefined && was.string === note.string && was.fret === note.fret) return note;
    const { finger: _, ...rest } = note;
    return rest;
  });
}

/** Other pitches with all that is on the notes: by the same hands that a move has (M10 to M12). */
function* repitched(draft: Draft & { kind: 'pitches' }): Generator<Phrase> {
  const { phrase } = draft;
  const plans = analyse(phrase).readings.map((reading): NotePlan => {
    const to = draft.to(reading);
    const { note } = reading;
    return {
      reading,
      chord: reading.owner === null ? undefined : reading.owner.chord,
      segment: 0,
      start: to?.start ?? note.pitch,
      target: to === null ? targetOf(note) : to.target,
      upper: note.trill === undefined ? null : (to?.upper ?? note.trill.upper),
      adaptations: [],
    };
  });
  const task = handTask(phrase, phrase, plans);
  for (const hand of ['area', 'shape'] as const) {
    const wish = { hand, otherOctaves: () => [], asAsked: () => true, names: [] };
    const fit = fitHand(task, wish);
    if (fit.kind === 'placed' && fit.dropped.size === 0)
      yield settleHand(phrase, fit.placed.phrase).phrase;
  }
}

function targetOf(n: PitchedNote) {
  return n.bend === undefined || n.bend.shape === 'curl' ? null : heardPitch(n);
}

/** What a hand pays for a phrase where it lies (N4); null where it breaks a hard rule. */
export function effortOf(p: Phrase): number | null {
  return handOf(p)?.fingering.cost ?? null;
}

/** The hand's cheapest way through the places that a phrase has, with its problem. */
export function handOf(
  p: Phrase,
): { readonly problem: FingeringProblem; readonly fingering: Fingering } | null {
  const problem = problemOf(p, { keepPlaces: true });
  const fingering = findFingerings(problem)[0];
  return fingering === undefined ? null : { problem, fingering };
}

/** Notes of a phrase by id. */
export function notesById(p: Phrase) {
  return new Map(notesOf(p).map((n) => [n.note.id, n]));
}

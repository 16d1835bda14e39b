import { applyFingering } from '../neck/apply';
import type { Limits } from '../neck/limits';
import { DEFAULT_LIMITS } from '../neck/limits';
import { checkPlayable, type Violation } from '../neck/playable';
import { indexFingerFret } from '../neck/positions';
import { type NoteWish, problemOf } from '../neck/problem-of';
import { findFingerings } from '../neck/solve';
import { HARMONIC_NODES, openMidi, playableFrets } from '../phrase/instrument';
import { mapEventNotes, mapEvents } from '../phrase/rebuild';
import type { Note, NoteId, Phrase, PhraseEvent, PitchedNote } from '../phrase/types';
import { legatoSource, mapNotes, notesOf } from '../phrase/walk';
import { widestBend } from '../technique/bend-width';
import { bareNote } from '../technique/value';
import { midiOf, type Pitch } from '../theory/pitch';
import { Mends, mendBend, mendLegato, mendTrill, moveGraces, onNeck } from './mend';
import { type NotePlan, shiftPlan } from './plan';
import type { HandWay } from './request';

/** A phrase at new places, with what had to be changed for it. */
export interface Placed {
  readonly phrase: Phrase;
  readonly mends: Mends;
  /** Hard rules it breaks that the original did not break. */
  readonly broken: readonly Violation[];
  /** Frets the hand was shifted by to find room (M12 'area'), 0 for none. */
  readonly shifted: number;
  /** No window of frets held the phrase, so it was placed anywhere on the neck. */
  readonly wandered?: true;
}

/** What a hand is tried with: the phrase over its new chords, and the plans in their octaves. */
export interface HandTask {
  readonly source: Phrase;
  /** The new phrase but for its notes, which are still the old ones. */
  readonly frame: Phrase;
  readonly plans: ReadonlyMap<NoteId, NotePlan>;
  /** Violations the source has already; a move does not answer for them. */
  readonly known: ReadonlySet<string>;
  readonly indexFinger: number;
}

export function handTask(source: Phrase, frame: Phrase, plans: readonly NotePlan[]): HandTask {
  return {
    source,
    frame,
    plans: new Map(plans.map((p) => [p.reading.note.id, p])),
    known: new Set(checkPlayable(source).map(keyOf)),
    indexFinger: indexFingerFret(source),
  };
}

/** The task an octave or more higher or lower. */
export function shiftTask(t: HandTask, octaves: number): HandTask {
  if (octaves === 0) return t;
  const plans = new Map(
    [...t.plans].map(([id, p]) => [id, p.segment === null ? p : shiftPlan(p, octaves)]),
  );
  return { ...t, plans };
}

/** The same rule broken by the same notes counts as the same fault. */
function keyOf(v: Violation): string {
  return `${v.rule}:${[...v.noteIds].sort().join(',')}`;
}

function newlyBroken(t: HandTask, p: Phrase, limits: Limits): readonly Violation[] {
  const broken = checkPlayable(p, limits).filter((v) => !t.known.has(keyOf(v)));
  return [...broken, ...openHarmonics(p)];
}

/** An artificial or pinch harmonic needs a stopped string: over an open one it would be a natural one. */
function openHarmonics(p: Phrase): readonly Violation[] {
  return notesOf(p).flatMap(({ note, onset }): Violation[] => {
    if (note.kind === 'dead' || note.fret > 0 || !needsStop(note)) return [];
    const message = `a ${note.harmonic?.kind} harmonic needs a fretted note`;
    const { string, fret } = note;
    return [{ rule: 'harmonic-node', noteIds: [note.id], onset, message, string, fret }];
  });
}

function needsStop(n: PitchedNote): boolean {
  return n.harmonic !== undefined && n.harmonic.kind !== 'natural';
}

/** Tries one way of keeping the hand (M12). Null when a pitch has no place there at all. */
export function tryHand(t: HandTask, hand: HandWay): Placed | null {
  if (hand === 'shape') return onStrings(t, (n) => n.string);
  if (hand === 'strings') return onNeighbours(t);
  return inArea(t);
}

/** The shape on the neighbouring strings, whichever side needs the smaller change of fret. */
function onNeighbours(t: HandTask): Placed | null {
  const tries = [-1, 1].flatMap((by) => {
    const placed = onStrings(t, (n) =>
      n.kind === 'pitched' && n.pinned !== true ? n.string + by : n.string,
    );
    return placed === null ? [] : [{ placed, travel: travel(t.source, placed.phrase) }];
  });
  tries.sort((a, b) => a.placed.broken.length - b.placed.broken.length || a.travel - b.travel);
  return tries[0]?.placed ?? null;
}

function travel(before: Phrase, after: Phrase): number {
  const frets = new Map<NoteId, number>();
  for (const v of before.voices)
    for (const e of v.events) for (const n of e.notes) frets.set(n.id, n.fret);
  let sum = 0;
  for (const v of after.voices)
    for (const e of v.events)
      for (const n of e.notes)
        if (n.kind === 'pitched') sum += Math.abs(n.fret - (frets.get(n.id) ?? n.fret));
  return sum;
}

/** Every note on the string `choose` gives it, at the fret its new pitch needs. */
function onStrings(t: HandTask, choose: (n: Note) => number): Placed | null {
  const mends = new Mends();
  const pitched = rebuild(t, mends, (note, event) => placeOn(t.frame, note, choose(note), event));
  if (pitched === null) return null;
  const followed = followHand(t.source, pitched, mends);
  const graced = withGraces(t, followed);
  if (!gracesOnNeck(graced)) return null;
  const phrase = mendLegato(graced, mends);
  const broken = newlyBroken(t, phrase, DEFAULT_LIMITS);
  // Two notes on one string are no phrase at all, playable or not.
  if (broken.some((v) => v.rule === 'one-note-a-string')) return null;
  return { phrase, mends, broken, shifted: 0 };
}

type Placer = (note: PitchedNote, event: PhraseEvent) => PitchedNote | null;

/** The frame with every note at its planned pitch, bends mended, placed by `place`; null when one has no place. */
function rebuild(t: HandTask, mends: Mends, place: Placer): Phrase | null {
  let lost = false;
  const phrase = mapNotes(t.frame, ({ note: n, event: e }) => {
    if (n.kind === 'dead') return n;
    const plan = t.plans.get(n.id);
    if (plan === undefined) return n;
    const found = place({ ...n, pitch: plan.start }, e);
    if (found === null) {
      lost = true;
      return n;
    }
    const placed = found.string === n.string ? found : withoutThumb(found, mends);
    const bent = mendBend(placed, plan, widestBend(placed.string), mends);
    const mended = mendTrill(bent, plan, mends);
    if (mended.harmonic?.kind !== n.harmonic?.kind) {
      mends.add(
        n.id,
        'M11',
        'no node of a natural harmonic sounds this pitch, so it is an artificial harmonic',
      );
    }
    const fret = fretOf(t.frame, mended);
    if (!onNeck(t.frame, fret)) lost = true;
    return { ...mended, fret };
  });
  return lost ? null : phrase;
}

/** A thumb over the neck belongs to its string; on another the search decides anew. */
function withoutThumb(n: PitchedNote, mends: Mends): PitchedNote {
  if (n.finger !== 'T') return n;
  mends.add(n.id, 'M12', 'the thumb was taken off: the note may lie on another string');
  const { finger: _, ...rest } = n;
  return rest;
}

/** The fret of a note on its string; a natural harmonic already has its node. */
function fretOf(p: Phrase, n: PitchedNote): number {
  return n.harmonic?.kind === 'natural'
    ? n.fret
    : midiOf(n.pitch) - openMidi(p.instrument, n.string);
}

/** The note on a string; a natural harmonic at a node of it, or of another free string, or made artificial. */
function placeOn(
  p: Phrase,
  n: PitchedNote,
  string: number,
  event: PhraseEvent,
): PitchedNote | null {
  if (string < 1 || string > p.instrument.tuning.length) return null;
  if (n.harmonic?.kind !== 'natural') return { ...n, string };
  return placeHarmonic(p, n, string, event);
}

/** M11: natural harmonics are sought again on the nodes, on their own string first. */
export function placeHarmonic(
  p: Phrase,
  n: PitchedNote,
  string: number,
  event: PhraseEvent,
): PitchedNote {
  const taken = new Set(event.notes.filter((x) => x.id !== n.id).map((x) => x.string));
  const strings = [
    string,
    ...p.instrument.tuning.map((_, i) => i + 1).filter((s) => s !== string && !taken.has(s)),
  ];
  for (const s of strings) {
    const nodes = Object.entries(HARMONIC_NODES)
      .map(([fret, above]) => ({ fret: Number(fret), above }))
      .filter((x) => x.fret <= playableFrets(p.instrument))
      .filter((x) => openMidi(p.instrument, s) + x.above === midiOf(n.pitch))
      .sort((a, b) => Math.abs(a.fret - n.fret) - Math.abs(b.fret - n.fret));
    const node = nodes[0];
    if (node !== undefined) {
      return { ...n, string: s, fret: node.fret, harmonic: { kind: 'natural', above: node.above } };
    }
    if (n.pinned === true) break;
  }
  const stopped: Pitch = { ...n.pitch, octave: n.pitch.octave - 1 };
  return { ...n, pitch: stopped, string, harmonic: { kind: 'artificial', above: 12 } };
}

/** M11: dead notes and rakes keep their strings and follow the hand, by the shift of the notes nearest in time. */
function followHand(before: Phrase, after: Phrase, mends: Mends): Phrase {
  if (
    before.voices.every((v) => v.events.every((e) => e.notes.every((n) => n.kind === 'pitched')))
  ) {
    return after;
  }
  const shifts = before.voices.flatMap((v, i) =>
    v.events.flatMap((e, k) => {
      const moved = after.voices[i]!.events[k]!;
      const frets = e.notes.flatMap((n) => {
        const m = moved.notes.find((x) => x.id === n.id);
        return n.kind === 'pitched' && m !== undefined && n.fret > 0 ? [m.fret - n.fret] : [];
      });
      return frets.length === 0 ? [] : [{ onset: e.onset, by: median(frets) }];
    }),
  );
  if (shifts.length === 0) return after;
  shifts.sort((a, b) => a.onset - b.onset);
  return mapEvents(after, (e) => {
    if (e.notes.every((n) => n.kind === 'pitched')) return e;
    const by = nearest(shifts, e.onset);
    return mapEventNotes(e, (n): Note => {
      if (n.kind === 'pitched') return n;
      const fret = Math.max(0, Math.min(playableFrets(after.instrument), n.fret + by));
      if (fret !== n.fret + by) {
        mends.addGeneral(
          'M11',
          `a dead note on string ${n.string} stays at fret ${fret}: the neck ends there`,
        );
      }
      return { ...n, fret };
    });
  });
}

function nearest(shifts: readonly { onset: number; by: number }[], onset: number): number {
  return shifts.reduce((a, b) => (Math.abs(b.onset - onset) < Math.abs(a.onset - onset) ? b : a))
    .by;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[(values.length - 1) >> 1]!;
}

/** The phrase with its graces moved (M11); their frets may lie off the neck. */
function withGraces(t: HandTask, p: Phrase): Phrase {
  if (t.source.voices.every((v) => v.events.every((e) => e.graces === undefined))) return p;
  return mapEvents(p, (e, voice, i) =>
    moveGraces(t.source.voices[voice]!.events[i]!, e, t.plans, p),
  );
}

function gracesOnNeck(p: Phrase): boolean {
  return p.voices.every((v) =>
    v.events.every((e) => (e.graces ?? []).every((g) => g.notes.every((n) => onNeck(p, n.fret)))),
  );
}

/** Frets an area spans below and above the index finger's fret (M12). */
const AREA_BELOW = 1;
const AREA_ABOVE = 4;

/**
 * M12 'area': all frets in [p − 1, p + 4] around the phrase's median index-finger fret, else the
 * least shift of that window in which the hard rules allow the phrase. A phrase that travels farther
 * than any window goes wherever on the neck it is played most easily.
 */
function inArea(t: HandTask): Placed | null {
  const mends = new Mends();
  const pitched = rebuildAnywhere(t, mends);
  const graced = withGraces(t, pitched);
  const phrase = mendLegato(graced, mends);
  const frets = playableFrets(phrase.instrument);
  const notes = notesOf(phrase).flatMap(({ note }) => (note.kind === 'pitched' ? [note] : []));
  const harmonics = new Set(notes.filter(needsStop).map((n) => n.id));
  const search = (low: number, high: number, shifted: number): Placed | null => {
    const stopped: NoteWish = { fretRange: [Math.max(1, low), high] };
    const problem = problemOf(phrase, {
      fretRange: [low, high],
      wishes: (id) => (harmonics.has(id) ? stopped : undefined),
    });
    const found = findFingerings(problem)[0];
    if (found === undefined) return null;
    const placed = applyFingering(phrase, found);
    return { phrase: placed, mends, broken: newlyBroken(t, placed, DEFAULT_LIMITS), shifted };
  };
  for (const by of shiftsAround(t.indexFinger, frets)) {
    const low = Math.max(0, t.indexFinger + by - AREA_BELOW);
    const high = Math.min(frets, t.indexFinger + by + AREA_ABOVE);
    if (!notes.every((n) => hasPlace(phrase, n, low, high))) continue;
    const placed = search(low, high, by);
    if (placed !== null) return placed;
  }
  const anywhere = notes.every((n) => hasPlace(phrase, n, 0, frets)) ? search(0, frets, 0) : null;
  return anywhere === null ? null : { ...anywhere, wandered: true };
}

/**
 * The notes placed over the whole neck as if they had no techniques; what those break there is left
 * in `broken`. Null where not even the bare notes have a place.
 */
export function tryRelaxed(t: HandTask): Placed | null {
  const mends = new Mends();
  const phrase = mendLegato(withGraces(t, rebuildAnywhere(t, mends)), mends);
  const bare = mapNotes(phrase, ({ note }) => (note.kind === 'dead' ? note : bareNote(note)));
  const found = findFingerings(problemOf(bare))[0];
  if (found === undefined) return null;
  const placed = applyFingering(phrase, found);
  const broken = [...newlyBroken(t, placed, DEFAULT_LIMITS), ...lostLinks(phrase, placed)];
  return { phrase: placed, mends, broken, shifted: 0, wandered: true };
}

/** Hammer-ons, pull-offs and slides that would start from another note than they did. */
function lostLinks(before: Phrase, after: Phrase): readonly Violation[] {
  return notesOf(after).flatMap(({ note, voice, eventIndex, onset }): Violation[] => {
    if (note.kind === 'dead' || note.attack === undefined || note.attack === 'tap') return [];
    const was = before.voices[voice]!.events[eventIndex]!.notes.find((n) => n.id === note.id);
    if (was === undefined) return [];
    const from = legatoSource(before.voices[voice]!.events, eventIndex, was.string);
    const is = legatoSource(after.voices[voice]!.events, eventIndex, note.string);
    if (is !== null && from !== null && is.id === from.id) return [];
    const { string, fret } = note;
    const message = `the ${note.attack} has lost the note it starts from`;
    return [{ rule: 'same-string', noteIds: [note.id], onset, message, string, fret }];
  });
}

/** Whether any string has the note's pitch between two frets: a quick no before the search is asked. */
function hasPlace(p: Phrase, n: PitchedNote, low: number, high: number): boolean {
  if (n.harmonic?.kind === 'natural') return true;
  const midi = midiOf(n.pitch);
  return p.instrument.tuning.some((_, i) => {
    const fret = midi - openMidi(p.instrument, i + 1);
    return fret >= low && fret <= high;
  });
}

function* shiftsAround(p: number, frets: number): Generator<number> {
  yield 0;
  for (let d = 1; d <= frets; d++) {
    if (p - d >= 0) yield -d;
    if (p + d <= frets) yield d;
  }
}

/** Pitches, mended bends and trills with the strings still as they were; the search places them. */
function rebuildAnywhere(t: HandTask, mends: Mends): Phrase {
  return mapNotes(t.frame, ({ note: n, event: e }) => {
    if (n.kind === 'dead') return n;
    const plan = t.plans.get(n.id);
    if (plan === undefined) return n;
    const widest = n.pinned === true ? widestBend(n.string) : DEFAULT_LIMITS.bend;
    const free = withoutThumb({ ...n, pitch: plan.start }, mends);
    const mended = mendTrill(mendBend(free, plan, widest, mends), plan, mends);
    if (mended.harmonic?.kind !== 'natural') return mended;
    const harmonic = placeHarmonic(t.frame, mended, n.string, e);
    if (harmonic.harmonic?.kind !== 'natural') {
      mends.add(
        n.id,
        'M11',
        'no node of a natural harmonic sounds this pitch, so it is an artificial harmonic',
      );
    }
    return harmonic;
  });
}

import { applyFingering } from '../neck/apply';
import { DEFAULT_LIMITS } from '../neck/limits';
import type { Violation } from '../neck/playable';
import { type NoteWish, problemOf } from '../neck/problem-of';
import { findFingerings } from '../neck/solve';
import { openMidi, playableFrets } from '../phrase/instrument';
import type { NoteId, Phrase, PitchedNote } from '../phrase/types';
import { legatoSource, mapNotes, notesOf } from '../phrase/walk';
import { widestBend } from '../technique/bend-width';
import { bareNote } from '../technique/value';
import { midiOf } from '../theory/pitch';
import { withGraces } from './follow-hand';
import { type HandTask, needsStop, newlyBroken, type Placed } from './hand-task';
import { Mends, mendBend, mendLegato, mendTrill } from './mend';
import { attackWord } from './naming';
import { placeHarmonic, withoutThumb } from './place-note';
import type { NotePlan } from './plan';

/** Frets an area spans below and above the index finger's fret (M12). */
const AREA_BELOW = 1;

const AREA_ABOVE = 4;

/**
 * What another string costs a note that the move leaves at its pitch, in the unit of `WEIGHTS`: more
 * than a change of position (*ours*). The player has it there already, so crossing a string less is no
 * reason to learn it anew; what the notes that did move ask of the hand still is.
 */
const LEAVES = 2;

/**
 * M12 'area': all frets in [p − 1, p + 4] around the phrase's median index-finger fret, else the
 * least shift of that window in which the hard rules allow the phrase. A phrase that travels farther
 * than any window goes wherever on the neck it is played most easily.
 */
export function inArea(t: HandTask): Placed | null {
  const wide = placeInArea(t, false);
  if (wide !== null || !hasLowWideBend(t)) return wide;
  // Strings are chosen first; then a bend that only low strings could sound gets what they allow (M10).
  return placeInArea(t, true);
}

function placeInArea(t: HandTask, narrow: boolean): Placed | null {
  const mends = new Mends();
  const pitched = rebuildAnywhere(t, mends, narrow);
  const graced = withGraces(t, pitched);
  const phrase = mendLegato(graced, mends);
  const frets = playableFrets(phrase.instrument);
  const notes = notesOf(phrase).flatMap(({ note }) => (note.kind === 'pitched' ? [note] : []));
  const harmonics = new Set(notes.filter(needsStop).map((n) => n.id));
  const stay = stringsThatStay(t, notes);
  // An open string that rings on as it did asks nothing of the hand, so it belongs to every area.
  const open = new Set(notes.filter((n) => stay.has(n.id) && wasOpen(t, n)).map((n) => n.id));
  const search = (low: number, high: number, shifted: number, rings: Rings): Placed | null => {
    const wishes = (id: NoteId): NoteWish | undefined => {
      const stringCosts = stay.get(id);
      const lowest = harmonics.has(id) ? Math.max(1, low) : low;
      if (lowest === low && stringCosts === undefined) return undefined;
      const fretRange = rings.has(id) ? ([0, 0] as const) : ([lowest, high] as const);
      return stringCosts === undefined ? { fretRange } : { fretRange, stringCosts };
    };
    const problem = problemOf(phrase, { fretRange: [low, high], wishes });
    const found = findFingerings(problem)[0];
    if (found === undefined) return null;
    const placed = applyFingering(phrase, found);
    return { phrase: placed, mends, broken: newlyBroken(t, placed, DEFAULT_LIMITS), shifted };
  };
  const inWindow = (rings: Rings): Placed | null => {
    for (const by of shiftsAround(t.indexFinger, frets)) {
      const low = Math.max(0, t.indexFinger + by - AREA_BELOW);
      const high = Math.min(frets, t.indexFinger + by + AREA_ABOVE);
      if (!notes.every((n) => rings.has(n.id) || hasPlace(phrase, n, low, high))) continue;
      const placed = search(low, high, by, rings);
      if (placed !== null) return placed;
    }
    return null;
  };
  // Where another note needs its string, it gives way.
  const near = inWindow(open) ?? (open.size > 0 ? inWindow(new Set()) : null);
  if (near !== null) return near;
  const everywhere = notes.every((n) => hasPlace(phrase, n, 0, frets));
  const anywhere = everywhere ? search(0, frets, 0, new Set()) : null;
  return anywhere === null ? null : { ...anywhere, wandered: true };
}

/** Notes that ring on open. */
type Rings = ReadonlySet<NoteId>;

/** By note whose pitch and place are as before the move: what each string costs it. */
function stringsThatStay(
  t: HandTask,
  notes: readonly PitchedNote[],
): ReadonlyMap<NoteId, readonly number[]> {
  const was = new Map(notesOf(t.source).map(({ note }) => [note.id, note]));
  const { instrument } = t.frame;
  return new Map(
    notes.flatMap((n): [NoteId, readonly number[]][] => {
      const old = was.get(n.id);
      if (old === undefined || old.kind === 'dead' || old.string > instrument.tuning.length)
        return [];
      if (midiOf(old.pitch) !== midiOf(n.pitch)) return [];
      // On another tuning the same pitch is another place.
      if (fretOn(instrument, n, old.string) !== fretOn(t.source.instrument, old, old.string))
        return [];
      return [[n.id, instrument.tuning.map((_, i) => (i + 1 === old.string ? 0 : LEAVES))]];
    }),
  );
}

/** Whether a note that stays at its pitch and place is on an open string. */
function wasOpen(t: HandTask, n: PitchedNote): boolean {
  const old = t.plans.get(n.id)?.reading.note;
  return old?.fret === 0 && n.harmonic === undefined;
}

function fretOn(i: Phrase['instrument'], n: PitchedNote, string: number): number {
  return midiOf(n.pitch) - openMidi(i, string);
}

/**
 * The notes placed over the whole neck as if they had no techniques; what those break there is left
 * in `broken`. Null where not even the bare notes have a place.
 */
export function tryRelaxed(t: HandTask): Placed | null {
  const mends = new Mends();
  const phrase = mendLegato(withGraces(t, rebuildAnywhere(t, mends, false)), mends);
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
    const message = `the ${attackWord(note.attack)} has lost the note it starts from`;
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

/** Whether there is a bend that is too wide for the only strings that have its pitch. */
function hasLowWideBend(t: HandTask): boolean {
  return [...t.plans.values()].some((plan) => isLowWideBend(t, plan));
}

function isLowWideBend(t: HandTask, plan: NotePlan): boolean {
  const { note } = plan.reading;
  if (plan.target === null || note.bend === undefined || note.bend.shape === 'pre-bend')
    return false;
  const midi = midiOf(plan.start);
  if (midiOf(plan.target) - midi <= DEFAULT_LIMITS.lowBend) return false;
  const { instrument } = t.frame;
  return !instrument.tuning.some((_, i) => {
    const fret = midi - openMidi(instrument, i + 1);
    return i + 1 < DEFAULT_LIMITS.lowBendFrom && fret >= 1 && fret <= playableFrets(instrument);
  });
}

/** Pitches, mended bends and trills with the strings still as they were; the search places them. */
function rebuildAnywhere(t: HandTask, mends: Mends, narrow: boolean): Phrase {
  return mapNotes(t.frame, ({ note: n, event: e }) => {
    if (n.kind === 'dead') return n;
    const plan = t.plans.get(n.id);
    if (plan === undefined) return n;
    const low = narrow && isLowWideBend(t, plan);
    const most = low ? DEFAULT_LIMITS.lowBend : DEFAULT_LIMITS.bend;
    const widest = n.pinned === true ? widestBend(n.string) : most;
    // The search has not chosen a string yet.
    const free = low ? 'the low strings' : 'any string';
    const where = n.pinned === true ? `string ${n.string}` : free;
    const off = withoutThumb({ ...n, pitch: plan.start }, mends);
    const mended = mendTrill(mendBend(off, plan, widest, mends, where), plan, mends);
    if (mended.harmonic?.kind !== 'natural') return mended;
    return placeHarmonic(t.frame, mended, n.string, e, mends);
  });
}

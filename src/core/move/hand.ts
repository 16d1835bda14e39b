import { DEFAULT_LIMITS } from '../neck/limits';
import { openMidi } from '../phrase/instrument';
import type { Note, NoteId, Phrase, PhraseEvent, PitchedNote } from '../phrase/types';
import { mapNotes } from '../phrase/walk';
import { widestBend } from '../technique/bend-width';
import { midiOf } from '../theory/pitch';
import { followHand, gracesOnNeck, withGraces } from './follow-hand';
import { inArea } from './hand-area';
import { type HandTask, newlyBroken, type Placed } from './hand-task';
import { Mends, mendBend, mendLegato, mendTrill, onNeck } from './mend';
import { placeHarmonic, withoutThumb } from './place-note';
import type { HandWay } from './request';

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
      n.kind === 'pitched' && n.pinned !== true && !ringsOn(t, n) ? n.string + by : n.string,
    );
    return placed === null ? [] : [{ placed, travel: travel(t.source, placed.phrase) }];
  });
  tries.sort((a, b) => a.placed.broken.length - b.placed.broken.length || a.travel - b.travel);
  return tries[0]?.placed ?? null;
}

/** Whether a note is a drone that stays at its pitch (M5): it stays on its open string too. */
function ringsOn(t: HandTask, n: PitchedNote): boolean {
  const plan = t.plans.get(n.id);
  if (plan === undefined || !plan.reading.drone) return false;
  return midiOf(plan.start) === openMidi(t.frame.instrument, n.string);
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
  const pitched = rebuild(t, mends, (note, event) =>
    placeOn(t.frame, note, choose(note), event, mends),
  );
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
    const fret = fretOf(t.frame, mended);
    if (!onNeck(t.frame, fret)) lost = true;
    return { ...mended, fret };
  });
  return lost ? null : phrase;
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
  mends: Mends,
): PitchedNote | null {
  if (string < 1 || string > p.instrument.tuning.length) return null;
  if (n.harmonic?.kind !== 'natural') return { ...n, string };
  return placeHarmonic(p, n, string, event, mends);
}

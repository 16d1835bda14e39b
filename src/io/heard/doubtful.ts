import type { HeardNote } from '../../core/heard/types';
import { checkPlayable } from '../../core/neck/playable';
import { fretFor } from '../../core/phrase/instrument';
import { byString, mapVoices } from '../../core/phrase/rebuild';
import type { Note, Phrase, PitchedNote, Ticks } from '../../core/phrase/types';
import { midiOf } from '../../core/theory/pitch';

/**
 * Of several strings struck together one that the model is less sure of than this, and that is over so soon (in seconds) as
 * none of a chord that is held, is doubtful: most often it is how another one begins.
 */
const SURE = 0.94;
const SHORT = 0.1;

/** A note that was heard unsurely beside others, without a place. */
export interface DoubtfulNote {
  readonly voice: number;
  readonly onset: Ticks;
  readonly note: PitchedNote;
}

/** What is struck together, in notes that decide where the hand is and notes that do not; never none of the first. */
export function bySureness(together: readonly HeardNote[]): {
  readonly sure: readonly HeardNote[];
  readonly doubtful: readonly HeardNote[];
} {
  const isDoubtful = (n: HeardNote) => n.confidence < SURE && n.end - n.onset < SHORT;
  const sure = together.filter((n) => !isDoubtful(n));
  return sure.length === 0
    ? { sure: together, doubtful: [] }
    : { sure, doubtful: together.filter(isDoubtful) };
}

/**
 * The phrase with doubtful notes where a hand can have them beside what is sure (N3), on the string that lies nearest to
 * the others; what no hand can have there was not played, and is left out.
 * @param leftOut Is told each that is left out.
 */
export function withDoubtful(
  phrase: Phrase,
  notes: readonly DoubtfulNote[],
  leftOut: (note: DoubtfulNote) => void,
): Phrase {
  if (notes.length === 0) return phrase;
  // Faults are counted over all of the phrase, so once for each that is tried and no more.
  const start: Counted = { phrase, faults: checkPlayable(phrase).length };
  return notes.reduce((before, note) => {
    const after = withOne(before, note);
    if (after === before) leftOut(note);
    return after;
  }, start).phrase;
}

/** A phrase with how many rules it breaks. */
interface Counted {
  readonly phrase: Phrase;
  readonly faults: number;
}

function withOne(before: Counted, { voice, onset, note }: DoubtfulNote): Counted {
  const { phrase } = before;
  const event = phrase.voices[voice]?.events.find((e) => e.onset === onset);
  if (event === undefined) return before;
  const frets = event.notes.map((n) => n.fret).filter((f) => f > 0);
  const hand = frets.length === 0 ? 0 : frets.reduce((a, b) => a + b, 0) / frets.length;
  const places = phrase.instrument.tuning
    .flatMap((_, i) => {
      const fret = fretFor(phrase.instrument, i + 1, midiOf(note.pitch));
      const free = event.notes.every((n) => n.string !== i + 1);
      return fret === null || !free ? [] : [{ string: i + 1, fret }];
    })
    .sort((a, b) => Math.abs(a.fret - hand) - Math.abs(b.fret - hand));
  for (const place of places) {
    const tried = withNote(phrase, voice, onset, { ...note, ...place });
    const faults = checkPlayable(tried).length;
    if (faults <= before.faults) return { phrase: tried, faults };
  }
  return before;
}

function withNote(phrase: Phrase, voice: number, onset: Ticks, note: PitchedNote): Phrase {
  const voices = mapVoices(phrase.voices, (v, i) =>
    i !== voice
      ? v
      : {
          ...v,
          events: v.events.map((e) =>
            e.onset !== onset ? e : { ...e, notes: byString<Note>([...e.notes, note]) },
          ),
        },
  );
  return { ...phrase, voices };
}

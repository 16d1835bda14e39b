import type { Note, Phrase, PhraseEvent, Ticks } from '../phrase/types';
import { endOf, heardPitch } from '../phrase/walk';
import { type Chord, chordOf, chordTones } from '../theory/chord';
import { degreeOf, sameDegree } from '../theory/degree';
import type { PitchClass } from '../theory/pitch';

/** One stretch of the chord lane: a symbol from its onset to the next. */
export interface ChordSpan {
  /** Place in the lane, from 0. */
  readonly index: number;
  readonly onset: Ticks;
  /** Onset of the next symbol, or the end of the phrase. */
  readonly end: Ticks;
  /** Null under N.C. */
  readonly chord: Chord | null;
}

/** The lane as stretches that cover the phrase; the first also covers a pickup before it (D2). */
export function chordSpans(p: Pick<Phrase, 'chords' | 'length'>): readonly ChordSpan[] {
  return p.chords.map((c, index) => ({
    index,
    onset: index === 0 ? 0 : c.onset,
    end: p.chords[index + 1]?.onset ?? p.length,
    chord: c.symbol === null ? null : chordOf(c.symbol),
  }));
}

/** The stretch sounding at an onset, or null without a lane. Binary search. */
export function spanAt(spans: readonly ChordSpan[], onset: Ticks): ChordSpan | null {
  let low = 0;
  let high = spans.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (spans[middle]!.onset <= onset) low = middle;
    else high = middle - 1;
  }
  return spans[low] ?? null;
}

/** Longest lead of an anticipation: an eighth (D2). */
export const LONGEST_ANTICIPATION: Ticks = 5_040;

export interface Owner {
  /** The stretch whose chord the note belongs to, or null without a lane. */
  readonly span: ChordSpan | null;
  /** The note belongs to the chord after the one at its onset. */
  readonly anticipates: boolean;
}

/**
 * The chord a note belongs to (D2): the one at its onset, or the next one for an anticipation. What
 * the user set in `anticipation` goes before the rule.
 */
export function ownerOf(
  note: Note,
  event: PhraseEvent,
  nextEvent: PhraseEvent | undefined,
  spans: readonly ChordSpan[],
): Owner {
  const here = spanAt(spans, event.onset);
  if (here === null) return { span: null, anticipates: false };
  const next = spans[here.index + 1];
  if (note.kind === 'dead' || next === undefined) return { span: here, anticipates: false };
  const anticipates = note.anticipation ?? readsAsAnticipation(note, event, nextEvent, here, next);
  return { span: anticipates ? next : here, anticipates };
}

/**
 * Whether D2's rule reads the note as an anticipation, whatever the user set: at most an eighth
 * before the change, held through it or followed by a rest up to it, a chord tone of the next chord
 * and not of this one. A note that ends exactly on the change counts where a rest follows it.
 */
export function readsAsAnticipation(
  note: Note,
  event: PhraseEvent,
  nextEvent: PhraseEvent | undefined,
  here: ChordSpan,
  next: ChordSpan,
): boolean {
  if (note.kind === 'dead' || here.chord === null || next.chord === null) return false;
  if (next.onset - event.onset > LONGEST_ANTICIPATION) return false;
  const end = endOf(event);
  const restFollows =
    end < next.onset
      ? nextEvent === undefined || nextEvent.onset >= next.onset
      : nextEvent === undefined || nextEvent.onset > next.onset;
  if (end <= next.onset && !restFollows) return false;
  const heard = heardPitch(note);
  return isChordTone(next.chord, heard) && !isChordTone(here.chord, heard);
}

/** Whether the symbol contains the note, as spelled (D3). */
export function isChordTone(chord: Chord, p: PitchClass): boolean {
  const d = degreeOf(chord.root, p);
  return chordTones(chord).some((t) => sameDegree(t, d));
}

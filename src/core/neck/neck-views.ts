import { barSpans } from '../phrase/time';
import type { Instrument, Phrase, Ticks } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { type Chord, chordTones } from '../theory/chord';
import type { Analysis } from '../understand/analyse';
import { degreesOnNeck, type OnNeck } from './on-neck';

/** The chords of a phrase's lane, each once, in the order in which they come. */
export function chordsOfLane(analysis: Pick<Analysis, 'spans'>): readonly Chord[] {
  const found: Chord[] = [];
  for (const { chord } of analysis.spans) {
    if (chord !== null && !found.includes(chord)) found.push(chord);
  }
  return found;
}

/** A chord's tones on the neck; the bass of a slash chord too. */
export function chordOnNeck(i: Instrument, chord: Chord, frets: readonly [number, number]): OnNeck {
  return degreesOnNeck(i, chord.root, chordTones(chord), frets);
}

/** A stretch of bars that is shown on a neck of its own. */
export interface Stretch {
  readonly bars: readonly number[];
  readonly from: Ticks;
  /** The first moment that does not belong to it. */
  readonly to: Ticks;
}

/** So many moments one after the other can still be followed on one neck. */
const LEGIBLE = 16;

/** The bars of a phrase in stretches whose way can be followed on one neck; bars of rest go along. */
export function stretchesOf(p: Phrase): readonly Stretch[] {
  const onsets = [...new Set(notesOf(p).map((n) => n.onset))];
  const found: { bars: number[]; from: Ticks; to: Ticks; moments: number }[] = [];
  for (const span of barSpans(p)) {
    const moments = onsets.filter((o) => o >= span.start && o < span.end).length;
    const last = found.at(-1);
    if (last !== undefined && last.moments + moments <= LEGIBLE) {
      last.bars.push(span.number);
      last.to = span.end;
      last.moments += moments;
    } else found.push({ bars: [span.number], from: span.start, to: span.end, moments });
  }
  return found.filter((s) => s.moments > 0);
}

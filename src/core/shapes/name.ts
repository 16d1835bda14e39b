import { type Degree, degreeSign } from '../theory/degree';
import type { ShapeKind, ShapeTone } from './types';

/** A shape in the trade's words. */
export function shapeName(kind: ShapeKind, tones: readonly ShapeTone[], lowest: Degree): string {
  const midis = tones.map((t) => t.midi).sort((a, b) => a - b);
  switch (kind) {
    case 'double stop':
      return intervalName(tones);
    case 'triad': {
      const close = midis[2]! - midis[0]! < 12;
      return `${inversionName(lowest)}${close ? '' : ', open'}`;
    }
    case 'shell':
      return 'shell';
    case 'four-note': {
      const way = voicingName(midis);
      return `${way === null ? '' : `${way}, `}${degreeSign(lowest)} lowest`;
    }
  }
}

function inversionName({ number }: Degree): string {
  if (number === 1) return 'root position';
  return number === 5 ? 'second inversion' : 'first inversion';
}

const INTERVALS = ['unison', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh'] as const;

/** Semitones of a major or perfect interval, and what others are called by their difference from it. */
const NATURAL = [0, 2, 4, 5, 7, 9, 11] as const;
const PERFECT: Readonly<Record<number, string>> = { [-1]: 'diminished ', 1: 'augmented ' };
const MAJOR: Readonly<Record<number, string>> = {
  [-2]: 'diminished ',
  [-1]: 'minor ',
  0: 'major ',
  1: 'augmented ',
};

/** The size of a double stop by the letters of its tones and their sound: `minor third`, `fourth`. */
function intervalName(tones: readonly ShapeTone[]): string {
  const [low, high] = [...tones].sort((a, b) => a.midi - b.midi) as [ShapeTone, ShapeTone];
  const steps = (high.degree.number - low.degree.number + 7) % 7;
  const wide = high.midi - low.midi;
  const octave = wide > 12 ? ' and an octave' : '';
  const off = (wide % 12) - NATURAL[steps]!;
  const perfect = steps === 0 || steps === 3 || steps === 4;
  const size = (perfect ? PERFECT : MAJOR)[off] ?? '';
  return `${size}${INTERVALS[steps]!}${octave}`;
}

/**
 * How four tones are spread: `close` within an octave; `drop 2`: a close chord of which the second
 * tone from above is an octave lower; `drop 3`, `drop 2 and 4` likewise. Null for others.
 */
function voicingName(midis: readonly number[]): string | null {
  const within = (list: readonly number[]) =>
    new Set(list.map((m) => m % 12)).size === 4 && list[3]! - list[0]! < 12;
  if (within(midis)) return 'close';
  const raised = (count: number) =>
    midis.map((m, i) => (i < count ? m + 12 : m)).sort((a, b) => a - b);
  const one = raised(1);
  if (within(one)) {
    const at = one.indexOf(midis[0]! + 12);
    if (at === 2) return 'drop 2';
    if (at === 1) return 'drop 3';
  }
  const two = raised(2);
  if (within(two) && two[0] === midis[0]! + 12 && two[2] === midis[1]! + 12) return 'drop 2 and 4';
  return null;
}

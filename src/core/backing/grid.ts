import { isCompound } from '../phrase/time';
import { type Meter, TICKS_PER_QUARTER, type Ticks } from '../phrase/types';
import type { FormBar } from './types';

/** A counted beat of a bar. */
export interface Beat {
  readonly at: Ticks;
  /** Up to the next beat. */
  readonly end: Ticks;
  /** Whether it falls into halves or, in compound and uneven metres, into thirds. */
  readonly division: 2 | 3;
  /** Which of four kinds of beat a pattern plays on it: 0 the first, 2 the other strong one, 1 and 3 weak. */
  readonly cell: 0 | 1 | 2 | 3;
  /** First of its bar. */
  readonly first: boolean;
}

/** Places inside a beat. `and` is its second half, the last third of a beat of thirds. */
export type Place = 'on' | 'e' | 'and' | 'a' | 'third' | 'two thirds';

/** The moment of a place; null where such a beat does not have it. */
export function momentOf(beat: Beat, place: Place): { at: Ticks; tuplet?: true } | null {
  const part = (share: number) => beat.at + Math.round((beat.end - beat.at) * share);
  switch (place) {
    case 'on':
      return { at: beat.at };
    case 'and':
      return beat.division === 2 ? { at: part(1 / 2) } : { at: part(2 / 3) };
    case 'e':
    case 'a':
      return beat.division === 2 ? { at: part(place === 'e' ? 1 / 4 : 3 / 4) } : null;
    case 'third':
    case 'two thirds': {
      const at = part(place === 'third' ? 1 / 3 : 2 / 3);
      return beat.division === 2 ? { at, tuplet: true } : { at };
    }
  }
}

/**
 * The beats of a bar. Quarters are counted, dotted values in compound metres (T2), and metres in eighths
 * that come out odd in twos with a three at the end: 5/8 as 2+3, 7/8 as 2+2+3 (common practice). More
 * beats than four are groups: five as 3+2, six as 3+3, seven as 4+3.
 */
export function beatsOf(bar: Pick<FormBar, 'meter' | 'start' | 'end'>): readonly Beat[] {
  const beats: Beat[] = [];
  const lengths = beatLengths(bar.meter);
  const cells = cellsOf(lengths.length);
  let at = bar.start;
  lengths.forEach((units, i) => {
    const unit = unitOf(bar.meter);
    const end = at + units * unit;
    const division = units === 3 ? 3 : 2;
    if (at < bar.end) beats.push({ at, end, division, cell: cells[i] ?? 3, first: i === 0 });
    at = end;
  });
  return beats;
}

/** Half a beat of two. */
function unitOf(m: Meter): Ticks {
  const lower = (4 * TICKS_PER_QUARTER) / m.beatType;
  return m.beatType >= 8 ? lower : TICKS_PER_QUARTER / 2;
}

/** The lengths of the beats in units: twos and threes. */
function beatLengths(m: Meter): readonly (2 | 3)[] {
  if (m.beatType < 8) return Array<2>((m.beats * 4) / m.beatType).fill(2);
  if (isCompound(m) || m.beats === 3) return Array<3>(m.beats / 3).fill(3);
  if (m.beats === 1) return [2];
  const twos = Math.floor(m.beats / 2);
  return Array.from({ length: twos }, (_, i) => (i === twos - 1 && m.beats % 2 === 1 ? 3 : 2));
}

function cellsOf(beats: number): readonly Beat['cell'][] {
  const cells: Beat['cell'][] = [];
  for (const [g, size] of groupsOf(beats).entries()) {
    const strong = g === 0 ? 0 : 2;
    if (size === 4) cells.push(strong, 1, 2, 3);
    else if (size === 3) cells.push(strong, 1, 3);
    else if (size === 2) cells.push(strong, g === 0 && beats === 2 ? 1 : 3);
    else cells.push(strong);
  }
  return cells;
}

function groupsOf(beats: number): readonly number[] {
  if (beats <= 4) return [beats];
  if (beats === 5) return [3, 2];
  if (beats % 3 === 0 && beats % 4 !== 0) return Array<number>(beats / 3).fill(3);
  return [4, ...groupsOf(beats - 4)];
}

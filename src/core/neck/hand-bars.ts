import { reachMillimetres } from '../phrase/instrument';
import { barSpans } from '../phrase/time';
import type { Phrase, Ticks } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { handPath } from './positions';

/** Where the hand lies, and in which bars. */
export interface HandInBars {
  /** Fret of the index finger, counted from the capo, from 1. */
  readonly fret: number;
  /** Ascending, each once; the pickup is bar 0. */
  readonly bars: readonly number[];
}

/**
 * The places of the hand bar by bar, the lowest first: each fret of the index finger that the hand's
 * cheapest way through the phrase has, with the bars in which it lies there.
 */
export function handInBars(p: Phrase, within?: readonly [Ticks, Ticks]): readonly HandInBars[] {
  const spans = barSpans(p);
  const found = new Map<number, number[]>();
  let k = 0;
  for (const { onset, fret } of handPath(p)) {
    if (isOutside(onset, within)) continue;
    while (k + 1 < spans.length && spans[k + 1]!.start <= onset) k++;
    const bars = found.get(fret) ?? [];
    if (bars.at(-1) !== spans[k]!.number) bars.push(spans[k]!.number);
    found.set(fret, bars);
  }
  return [...found]
    .map(([fret, bars]) => ({ fret, bars: [...new Set(bars)] }))
    .sort((a, b) => a.fret - b.fret);
}

/** Bars as a list with stretches joined: `bars 1–3, 5`; `pickup` for bar 0. */
export function barsText(bars: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const bar of bars) {
    const last = runs.at(-1);
    if (last !== undefined && bar === last[1] + 1) last[1] = bar;
    else runs.push([bar, bar]);
  }
  const one = ([from, to]: [number, number]) => {
    const start = from === 0 ? 'pickup' : String(from);
    return from === to ? start : `${start}–${to}`;
  };
  const only = bars.length === 1;
  if (only && bars[0] === 0) return 'pickup';
  return `${only ? 'bar' : 'bars'} ${runs.map(one).join(', ')}`;
}

/** The frets between which all that is pressed lies. */
export interface ShapeSpan {
  readonly from: number;
  readonly to: number;
  /** From the lowest to the highest fret, in millimetres (N1). */
  readonly mm: number;
}

/** The fewest frets that hold what a phrase presses where it stands; null for open strings only. */
export function shapeSpan(p: Phrase, within?: readonly [Ticks, Ticks]): ShapeSpan | null {
  const frets = notesOf(p)
    .filter(({ onset }) => !isOutside(onset, within))
    .filter(({ note }) => note.kind === 'pitched' && note.fret > 0)
    .map(({ note }) => note.fret);
  if (frets.length === 0) return null;
  const from = Math.min(...frets);
  const to = Math.max(...frets);
  return { from, to, mm: Math.round(reachMillimetres(p.instrument, from, to)) };
}

/** Whether a moment begins outside of a stretch of time, the end of which does not belong to it. */
export function isOutside(onset: Ticks, within?: readonly [Ticks, Ticks]): boolean {
  return within !== undefined && (onset < within[0] || onset >= within[1]);
}

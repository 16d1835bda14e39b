import { beatTicks, meterTicks } from '../phrase/time';
import type { Meter, Ticks } from '../phrase/types';
import { mod } from '../theory/pitch';

/*
 * Where phrases begin and how long the rest before them is, counted in recorded solos: 9,613 phrases and 9,203 rests of
 * the solos that are named in `weights.ts`. Figures only.
 */

/** The places in a bar of four beats, from the first. */
export const EIGHTHS = ['1', '1 and', '2', '2 and', '3', '3 and', '4', '4 and'] as const;

/** Shares of phrases that begin there. */
export const STARTS = [0.1225, 0.1716, 0.1111, 0.1436, 0.1281, 0.1233, 0.0745, 0.1254] as const;

/** Rests in beats, from the end of a phrase's last note to the next one's first onset: each bin ends where the next begins. */
export const REST_BINS = [0, 0.25, 0.5, 1, 2, 3, 4, 6, 8] as const;

/** Shares of rests in each. */
export const RESTS = [
  0.0089, 0.0361, 0.1378, 0.3527, 0.2129, 0.1168, 0.0979, 0.0264, 0.0105,
] as const;

/** What is played a sixteenth early is on the beat; what begins later than a third of it is behind it. */
const EARLY = 1 / 16;
const BEHIND = 0.35;

/**
 * The eighth of the bar at which something begins, from 0.
 * @param onset From the beginning of any bar.
 * @returns Null in bars of other than four beats, which were not counted.
 */
export function eighthOfBar(onset: Ticks, meter: Meter): number | null {
  const beat = beatTicks(meter);
  if (meterTicks(meter) !== 4 * beat) return null;
  const at = mod(onset + EARLY * beat, 4 * beat);
  const whole = Math.floor(at / beat);
  return 2 * whole + (at / beat - whole < BEHIND ? 0 : 1);
}

/**
 * What it counts where a phrase begins: the logarithm of its share, beside places taken at random. In full, since
 * nothing else that counts in a join looks at the beat.
 */
export function startScore(onset: Ticks, meter: Meter): number {
  const eighth = eighthOfBar(onset, meter);
  return eighth === null ? 0 : LOG_STARTS[eighth]!;
}

const LOG_STARTS = STARTS.map((share) => Math.log(share * EIGHTHS.length));

/**
 * By half: rests go with lengths and closes of phrases, which joins count already, and where a library has
 * phrases of whole bars short rests are no one's choice.
 */
const OF_RESTS = 0.5;

/** The last bin ends nowhere: its rests are taken to spread over as much as the one before. */
const WIDTHS = REST_BINS.map((from, i): number => (REST_BINS[i + 1] ?? from + 2) - from);

const LOG_RESTS = RESTS.map((share, i) => Math.log(share / WIDTHS[i]!));

/** So that rests of recorded solos count nothing on the average, and those no one makes count against a join. */
const USUAL_REST = RESTS.reduce((sum, share, i) => sum + share * LOG_RESTS[i]!, 0);

/** What a rest of so many beats counts: by the logarithm of how often rests are about as long. */
export function restScore(beats: number): number {
  let bin = 0;
  while (bin + 1 < REST_BINS.length && REST_BINS[bin + 1]! <= beats) bin++;
  return OF_RESTS * (LOG_RESTS[bin]! - USUAL_REST);
}

/** What it must give or take before it is worth a word, as in `joinWords`. */
const WORTH = 0.3;

/** Where a phrase begins and how long it waits, in parts of a sentence; empty where neither stands out. */
export function usualWords(
  { onset, rest }: { readonly onset: Ticks; readonly rest: number | null },
  meter: Meter,
): readonly string[] {
  const waits = rest === null ? 0 : restScore(rest);
  const starts = startScore(onset, meter);
  const said: string[] = [];
  if (waits >= WORTH) said.push('leaves as long a rest as players like');
  if (waits <= -WORTH) said.push(rest! < 1 ? 'leaves hardly a rest' : 'leaves a long rest');
  if (starts >= WORTH) said.push('begins where phrases often do, behind the first beat');
  if (starts <= -WORTH) said.push('begins where phrases seldom do');
  return said;
}

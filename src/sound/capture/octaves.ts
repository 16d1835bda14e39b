import type { Posteriors } from './network';
import { PITCHES } from './network-shape';
import { stringShares } from './string-shares';
import type { Traced } from './techniques';

/** Where an onset is highest, with its share. */
export interface Peak {
  readonly frame: number;
  /** The same between frames. */
  readonly at: number;
  readonly row: number;
  readonly share: number;
  /** The onset an octave under it that it doubles, where it was found beside that one. */
  readonly doubles?: Peak;
}

const OCTAVE = 12;
/** Onsets no further apart are struck together, in frames. */
const TOGETHER = 3;
/** What the network must say at least of an onset that doubles a line: README. */
const LEAST = 0.1;
/** So many moments to each side, at least so many in all, tell whether a line is played in octaves; and what share of them must be. */
const AROUND = 3;
const FEWEST = 2;
const SHARE = 0.5;

/**
 * Octaves over the lowest string of a moment that the network is unsure of, in a line that is played in octaves: every other
 * partial of a string is a partial of its octave, so that the upper one of two is heard worst, and a hand that has
 * an octave keeps it from note to note.
 * @param onset Shares of onsets, row by row in each frame.
 */
export function octavesOver(peaks: readonly Peak[], onset: Float32Array): readonly Peak[] {
  const lows = peaks
    .filter((k) => !peaks.some((q) => q.row < k.row && isTogether(q, k)))
    .sort((a, b) => a.frame - b.frame);
  const frames = onset.length / PITCHES;
  const said = lows.map((low) => {
    if (peaks.some((q) => q.row === low.row + OCTAVE && isTogether(q, low))) return 1;
    if (low.row + OCTAVE >= PITCHES) return 0;
    let most = 0;
    const last = Math.min(frames - 1, low.frame + TOGETHER);
    for (let t = Math.max(0, low.frame - TOGETHER); t <= last; t++) {
      most = Math.max(most, onset[t * PITCHES + low.row + OCTAVE]!);
    }
    return most;
  });
  return lows.flatMap((low, i): Peak[] => {
    const share = said[i]!;
    if (share < LEAST || share === 1) return [];
    const around = [
      ...said.slice(Math.max(0, i - AROUND), i),
      ...said.slice(i + 1, i + 1 + AROUND),
    ];
    const doubled = around.filter((s) => s >= LEAST).length;
    if (around.length < FEWEST || doubled < SHARE * around.length) return [];
    return [{ ...low, row: low.row + OCTAVE, share, doubles: low }];
  });
}

function isTogether(a: Peak, b: Peak): boolean {
  return Math.abs(a.frame - b.frame) <= TOGETHER;
}

/** The octave over a note: what the hand does there it does here. */
export function octaveOf(
  p: Posteriors,
  low: Traced,
  rows: readonly number[],
  share: number,
): Traced {
  const over = rows.map((r) => Math.min(PITCHES - 1, r + OCTAVE));
  return {
    ...low,
    row: low.row + OCTAVE,
    pitch: low.pitch + OCTAVE,
    start: low.start + OCTAVE,
    midi: low.midi.map((m) => m + OCTAVE),
    confidence: share,
    strings: stringShares(p, low.frames, over),
  };
}

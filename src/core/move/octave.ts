import { openMidi, playableFrets } from '../phrase/instrument';
import type { Instrument } from '../phrase/types';
import { midiOf } from '../theory/pitch';
import { heardOf, type MovePlan, type NotePlan, type Segment } from './plan';
import type { OctaveChoice } from './request';

/**
 * Octave shifts that M7 allows one segment, in whole octaves on top of its interval, best first.
 * At a tritone an augmented fourth goes up and a diminished fifth down, so the way back returns.
 */
export function shiftsOf(s: Segment, choice: OctaveChoice): readonly number[] {
  const all = [-3, -2, -1, 0, 1, 2].map((k) => ({ k, semitones: s.interval.semitones + 12 * k }));
  if (choice === 'up')
    return all.filter((x) => x.semitones >= 1 && x.semitones <= 12).map((x) => x.k);
  if (choice === 'down')
    return all.filter((x) => x.semitones <= -1 && x.semitones >= -12).map((x) => x.k);
  return all
    .filter((x) => Math.abs(x.semitones) <= 12)
    .sort(
      (a, b) =>
        Math.abs(a.semitones) - Math.abs(b.semitones) || tritone(s, a.semitones, b.semitones),
    )
    .map((x) => x.k);
}

/** The interval as an ascending one of less than an octave: an augmented fourth spans three steps. */
function tritone(s: Segment, a: number, b: number): number {
  const steps = ((s.interval.steps % 7) + 7) % 7;
  return steps <= 3 ? b - a : a - b;
}

/**
 * The octave of every segment (M7): one shift each, chosen together by dynamic programming so that
 * no note leaves the instrument, then the contour across the joints is kept as far as it can be, and
 * then the sum of the motion is least. A single segment, or the whole phrase to a key, simply goes the nearest way.
 * @returns Whole octaves by segment index.
 */
export function chooseOctaves(
  plan: MovePlan,
  choice: OctaveChoice,
  range: PitchRange,
): readonly number[] {
  const options = plan.segments.map((s) => {
    const shifts = shiftsOf(s, choice);
    return plan.segments.length === 1 ? shifts.slice(0, 1) : shifts;
  });
  if (options.length === 0) return [];
  const joints = jointsOf(plan);
  type Cell = Weighed & { readonly path: readonly number[] };
  let cells: readonly Cell[] = [{ outside: 0, broken: 0, motion: 0, path: [] }];
  plan.segments.forEach((s, i) => {
    cells = options[i]!.map((k, rank): Cell => {
      const outside = notesOutside(plan, i, k, range);
      const fixed = brokenJoints(joints, i, null, k, 0);
      let best: Cell | null = null;
      for (const cell of cells) {
        const before = cell.path.at(-1);
        const across = before === undefined ? 0 : brokenJoints(joints, i, i - 1, k, before);
        const next: Cell = {
          outside: cell.outside + outside,
          broken: cell.broken + fixed + across,
          // The rank breaks the tie of a tritone the way M7 wants it.
          motion: cell.motion + Math.abs(s.interval.semitones + 12 * k) + rank / 1000,
          path: [...cell.path, k],
        };
        if (best === null || less(next, best)) best = next;
      }
      return best!;
    });
  });
  return cells.reduce((a, b) => (less(b, a) ? b : a)).path;
}

interface Weighed {
  readonly outside: number;
  readonly broken: number;
  readonly motion: number;
}

function less(a: Weighed, b: Weighed): boolean {
  if (a.outside !== b.outside) return a.outside < b.outside;
  return a.broken !== b.broken ? a.broken < b.broken : a.motion < b.motion;
}

/** Lowest and highest MIDI number an instrument sounds by its frets. */
export interface PitchRange {
  readonly low: number;
  readonly high: number;
}

/** The range of an instrument with its capo; open pitches need not descend (P4). */
export function rangeOf(i: Instrument): PitchRange {
  const open = i.tuning.map((_, k) => openMidi(i, k + 1));
  return { low: Math.min(...open), high: Math.max(...open) + playableFrets(i) };
}

/** Notes of a segment that no string could sound after a shift of `k` octaves. */
function notesOutside(plan: MovePlan, segment: number, k: number, range: PitchRange): number {
  let count = 0;
  for (const n of plan.notes) {
    if (n.segment !== segment) continue;
    const midi = midiOf(n.start) + 12 * k;
    if (midi < range.low || midi > range.high) count++;
  }
  return count;
}

/** Two onsets in a row whose highest heard notes belong to different segments. */
interface Joint {
  readonly left: NotePlan;
  readonly right: NotePlan;
}

/** The highest heard note of each onset, in order (M13: contour is read there). */
export function topLine(plan: MovePlan): readonly NotePlan[] {
  const tops: NotePlan[] = [];
  for (const n of plan.notes) {
    const last = tops.at(-1);
    if (last === undefined || last.reading.at.onset !== n.reading.at.onset) tops.push(n);
    else if (midiOf(n.reading.heard.pitch) > midiOf(last.reading.heard.pitch)) {
      tops[tops.length - 1] = n;
    }
  }
  return tops;
}

function jointsOf(plan: MovePlan): readonly Joint[] {
  const tops = topLine(plan);
  return tops.slice(1).flatMap((right, i): Joint[] => {
    const left = tops[i]!;
    return left.segment === right.segment ? [] : [{ left, right }];
  });
}

/**
 * Joints between segment `i` (shifted by `k` octaves) and segment `j` (by `kj`; null = notes that
 * stay with the key) whose direction differs from the original's.
 */
function brokenJoints(
  joints: readonly Joint[],
  i: number,
  j: number | null,
  k: number,
  kj: number,
): number {
  let broken = 0;
  for (const { left, right } of joints) {
    const forward = left.segment === j && right.segment === i;
    const backward = left.segment === i && right.segment === j;
    if (!forward && !backward) continue;
    const was = Math.sign(midiOf(right.reading.heard.pitch) - midiOf(left.reading.heard.pitch));
    const shift = 12 * (forward ? k - kj : kj - k);
    const is = Math.sign(midiOf(heardOf(right)) - midiOf(heardOf(left)) + shift);
    if (was !== is) broken++;
  }
  return broken;
}

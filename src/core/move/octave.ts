import { openMidi, playableFrets } from '../phrase/instrument';
import type { Instrument } from '../phrase/types';
import { midiOf } from '../theory/pitch';
import { heardOf, type MovePlan, type NotePlan, type Segment } from './plan';
import type { OctaveChoice } from './request';

/** Lowest and highest shift in semitones that a choice wishes for (M7). */
const WISHED: Readonly<Record<OctaveChoice, readonly [number, number]>> = {
  up: [1, 12],
  down: [-12, -1],
  nearest: [-6, 6],
};

/** Semitones by which a shift lies outside the range that was wished for; 0 inside it. */
export function beyondWish(semitones: number, choice: OctaveChoice): number {
  const [low, high] = WISHED[choice];
  return Math.max(0, low - semitones, semitones - high);
}

/** Whole octaves on top of a segment's interval, which is an ascending one of less than an octave or so. */
const OCTAVES = [-3, -2, -1, 0, 1, 2] as const;

/** Semitones that a segment moves with `k` octaves on top of its interval. */
export function shiftOf(s: Segment, k: number): number {
  return s.interval.semitones + 12 * k;
}

/**
 * The octave of every segment (M7): one shift each, chosen together by dynamic programming. In this
 * order: no note leaves the instrument; the least sum of what neighbouring shifts differ by and of
 * what shifts lie outside the wished range; the contour across the joints; the least motion; and at
 * a tritone an augmented fourth goes up and a diminished fifth down, so that the way back returns.
 * Every term belongs to one segment or joins a segment to a later one, so what has to be remembered
 * are the octaves of those that still have a joint to come: mostly the last one alone.
 * @returns Whole octaves by segment index.
 */
export function chooseOctaves(
  plan: MovePlan,
  choice: OctaveChoice,
  range: PitchRange,
): readonly number[] {
  const joints = jointsOf(plan);
  const lastUse = plan.segments.map((s) => lastNeighbour(joints, s.index, plan.segments.length));
  let cells: readonly Cell[] = [{ weight: [0, 0, 0, 0, 0], path: [] }];
  for (const s of plan.segments) {
    const i = s.index;
    const found = new Map<string, Cell>();
    for (const cell of cells) {
      for (const k of OCTAVES) {
        const path = [...cell.path, k];
        const weight = add(cell.weight, weightOf(plan, joints, choice, range, path));
        const open = path.filter((_, j) => lastUse[j]! > i).join();
        const known = found.get(open);
        if (known === undefined || less(weight, known.weight)) found.set(open, { weight, path });
      }
    }
    cells = [...found.values()];
  }
  return cells.reduce((a, b) => (less(b.weight, a.weight) ? b : a)).path;
}

/** What M7 weighs, in its order: notes outside, parting and wish, turned joints, motion, tritone. */
type Weight = readonly [number, number, number, number, number];

interface Cell {
  readonly weight: Weight;
  readonly path: readonly number[];
}

function less(a: Weight, b: Weight): boolean {
  const at = a.findIndex((x, i) => x !== b[i]);
  return at >= 0 && a[at]! < b[at]!;
}

function add(a: Weight, b: Weight): Weight {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3], a[4] + b[4]];
}

/** What the last segment of a path adds to it. */
function weightOf(
  plan: MovePlan,
  joints: readonly Joint[],
  choice: OctaveChoice,
  range: PitchRange,
  path: readonly number[],
): Weight {
  const i = path.length - 1;
  const k = path[i]!;
  const s = plan.segments[i]!;
  const shift = shiftOf(s, k);
  const before = i === 0 ? shift : shiftOf(plan.segments[i - 1]!, path[i - 1]!);
  return [
    notesOutside(plan, i, k, range),
    Math.abs(shift - before) + beyondWish(shift, choice),
    brokenJoints(joints, path),
    Math.abs(shift),
    wrongTritone(s, shift) ? 1 : 0,
  ];
}

/** A tritone that goes the other way than its name: an augmented fourth spans three steps, upwards. */
function wrongTritone(s: Segment, shift: number): boolean {
  if (Math.abs(shift) !== 6) return false;
  const fifth = ((s.interval.steps % 7) + 7) % 7 > 3;
  return fifth !== shift < 0;
}

/** The last segment that a segment has a joint with, by index; its neighbour is always one. */
function lastNeighbour(joints: readonly Joint[], i: number, count: number): number {
  let last = Math.min(i + 1, count - 1);
  for (const { left, right } of joints) {
    if (left.segment === i && right.segment !== null) last = Math.max(last, right.segment);
    if (right.segment === i && left.segment !== null) last = Math.max(last, left.segment);
  }
  return last;
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
 * Joints that the last segment of a path closes, whose direction differs from the original's. Notes
 * that stay with the key are joined to as they are.
 */
function brokenJoints(joints: readonly Joint[], path: readonly number[]): number {
  const i = path.length - 1;
  let broken = 0;
  for (const { left, right } of joints) {
    if (Math.max(left.segment ?? -1, right.segment ?? -1) !== i) continue;
    const was = Math.sign(midiOf(right.reading.heard.pitch) - midiOf(left.reading.heard.pitch));
    const octaves = (n: NotePlan) => (n.segment === null ? 0 : path[n.segment]!);
    const shift = 12 * (octaves(right) - octaves(left));
    const is = Math.sign(midiOf(heardOf(right)) - midiOf(heardOf(left)) + shift);
    if (was !== is) broken++;
  }
  return broken;
}

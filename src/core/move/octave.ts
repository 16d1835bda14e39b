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
  return cheapest(weighing(plan, choice, range), null).path;
}

/**
 * What else M7 could choose where the hand finds no place for the best: for each segment the best
 * choice in which it lies an octave higher or lower, those first that M7 likes better.
 * @param best What it did choose.
 * @param most Choices at most.
 */
export function otherOctaves(
  plan: MovePlan,
  choice: OctaveChoice,
  range: PitchRange,
  best: readonly number[],
  most: number,
): readonly (readonly number[])[] {
  const w = weighing(plan, choice, range);
  const found = new Map<string, Cell>();
  for (const s of plan.segments) {
    for (const by of [-1, 1]) {
      const octave = best[s.index]! + by;
      if (!OCTAVES.some((k) => k === octave)) continue;
      const cell = cheapest(w, { segment: s.index, octave });
      found.set(cell.path.join(), cell);
    }
  }
  const cells = [...found.values()].sort((a, b) => (less(a.weight, b.weight) ? -1 : 1));
  return cells.slice(0, most).map((c) => c.path);
}

/** Everything that the weights are read from, by segment. */
interface Weighing {
  readonly segments: readonly Segment[];
  readonly choice: OctaveChoice;
  readonly range: PitchRange;
  /** MIDI numbers of a segment's fretted notes, before octaves. */
  readonly midis: readonly (readonly number[])[];
  /** Joints by the later of their segments. */
  readonly joints: readonly (readonly Joint[])[];
  /** The last segment that one has a joint with. */
  readonly lastUse: readonly number[];
}

function weighing(plan: MovePlan, choice: OctaveChoice, range: PitchRange): Weighing {
  const { segments } = plan;
  const midis: number[][] = segments.map(() => []);
  for (const n of plan.notes) if (n.segment !== null) midis[n.segment]!.push(midiOf(n.start));
  const joints: Joint[][] = segments.map(() => []);
  const lastUse = segments.map((_, i) => Math.min(i + 1, segments.length - 1));
  for (const j of jointsOf(plan)) {
    const a = j.left.segment ?? -1;
    const b = j.right.segment ?? -1;
    joints[Math.max(a, b)]!.push(j);
    if (a >= 0) lastUse[a] = Math.max(lastUse[a]!, b);
    if (b >= 0) lastUse[b] = Math.max(lastUse[b]!, a);
  }
  return { segments, choice, range, midis, joints, lastUse };
}

function cheapest(
  w: Weighing,
  fixed: { readonly segment: number; readonly octave: number } | null,
): Cell {
  let cells: readonly Cell[] = [{ weight: [0, 0, 0, 0, 0], path: [] }];
  for (const { index: i } of w.segments) {
    const found = new Map<string, Cell>();
    const open = w.lastUse.flatMap((last, j) => (j <= i && last > i ? [j] : []));
    const outside = OCTAVES.map((k) => notesOutside(w, i, k));
    for (const cell of cells) {
      for (const k of fixed?.segment === i ? [fixed.octave] : OCTAVES) {
        const path = [...cell.path, k];
        const weight = add(cell.weight, weightOf(w, path, outside[k - OCTAVES[0]]!));
        const name = open.map((j) => path[j]).join();
        const known = found.get(name);
        if (known === undefined || less(weight, known.weight)) found.set(name, { weight, path });
      }
    }
    cells = [...found.values()];
  }
  return cells.reduce((a, b) => (less(b.weight, a.weight) ? b : a));
}

/** What M7 weighs, in its order: notes outside, parting and wish, turned joints, motion, tritone. */
type Weight = readonly [number, number, number, number, number];

interface Cell {
  readonly weight: Weight;
  readonly path: readonly number[];
}

function less(a: Weight, b: Weight): boolean {
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return a[i]! < b[i]!;
  return false;
}

function add(a: Weight, b: Weight): Weight {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3], a[4] + b[4]];
}

/** Notes of a segment that lie outside the range in an octave. */
function notesOutside({ midis, range: { low, high } }: Weighing, i: number, k: number): number {
  let n = 0;
  for (const m of midis[i]!) if (m + 12 * k < low || m + 12 * k > high) n++;
  return n;
}

/** What the last segment of a path adds to it. */
function weightOf(w: Weighing, path: readonly number[], outside: number): Weight {
  const i = path.length - 1;
  const k = path[i]!;
  const s = w.segments[i]!;
  const shift = shiftOf(s, k);
  const before = i === 0 ? shift : shiftOf(w.segments[i - 1]!, path[i - 1]!);
  return [
    outside,
    Math.abs(shift - before) + beyondWish(shift, w.choice),
    brokenJoints(w.joints[i]!, path),
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
 * How many of the joints that the last segment of a path closes turn otherwise than the original.
 * Notes that stay with the key are joined to as they are.
 */
function brokenJoints(joints: readonly Joint[], path: readonly number[]): number {
  let broken = 0;
  for (const { left, right } of joints) {
    const was = Math.sign(midiOf(right.reading.heard.pitch) - midiOf(left.reading.heard.pitch));
    const octaves = (n: NotePlan) => (n.segment === null ? 0 : path[n.segment]!);
    const shift = 12 * (octaves(right) - octaves(left));
    const is = Math.sign(midiOf(heardOf(right)) - midiOf(heardOf(left)) + shift);
    if (was !== is) broken++;
  }
  return broken;
}

import { curveOfShape } from '../phrase/bend-curve';
import type { Bend, BendPoint, PitchedNote, SlideIn } from '../phrase/types';
import type { HeardNote } from './types';

/** What a heard note is as a note of a phrase: whole semitones, and the techniques that move it. */
export interface HeardMotion {
  /** MIDI number of what is fretted. */
  readonly midi: number;
  readonly bend?: {
    readonly shape: Bend['shape'];
    readonly semitones: number;
    readonly curve: readonly BendPoint[];
  };
  readonly slideIn?: SlideIn;
  readonly slideOut?: 'up' | 'down';
  readonly vibrato?: NonNullable<PitchedNote['vibrato']>;
}

/** A bend under this is none, up to the second it is a curl, a quarter tone (in semitones). */
const LEAST_BEND = 0.33;
const MOST_CURL = 0.72;
/** Cents from which a vibrato is wide, to one side. */
const WIDE = 30;
/** What a slide-in is written with at most. */
const MOST_SLIDE = 12;

/**
 * Reads what the pitch of a note does as what a hand does.
 * @param off By how much the instrument is tuned beside 440 Hz, in semitones.
 */
export function motionOfHeard(n: HeardNote, off: number): HeardMotion {
  const curve = n.curve.map((c) => c.midi - off);
  const vibrato: HeardMotion['vibrato'] =
    n.vibrato === undefined ? undefined : n.vibrato > WIDE ? 'wide' : 'narrow';
  const shaken = {
    ...(vibrato === undefined ? {} : { vibrato }),
    ...(n.slideOut === undefined ? {} : { slideOut: n.slideOut }),
  };
  if (n.bend !== undefined && n.bend.semitones >= LEAST_BEND) {
    const low = lowOf(n, curve);
    const midi = Math.round(low);
    if (n.bend.semitones <= MOST_CURL && n.bend.shape === 'bend') {
      return {
        midi,
        bend: { shape: 'curl', semitones: 0.5, curve: curveOfShape('curl') },
        ...shaken,
      };
    }
    const semitones = Math.round(low + n.bend.semitones) - midi;
    if (semitones >= 1) {
      const drawn = pointsOf(n, curve, low, n.bend.shape);
      return { midi, bend: { shape: n.bend.shape, semitones, curve: drawn }, ...shaken };
    }
  }
  // A vibrato pulls sharp, so that its beginning says more than its middle.
  const settled = vibrato !== undefined && Math.abs(n.start - n.pitch) < 1 ? n.start : n.pitch;
  const midi = Math.round(settled - off);
  const slide = n.slideIn === undefined ? {} : { slideIn: slideInOf(n, curve, midi) };
  return { midi, ...slide, ...shaken };
}

/** Where the string is not bent. */
function lowOf(n: HeardNote, curve: readonly number[]): number {
  const ends = n.bend?.shape === 'pre-bend-release' ? curve.slice(-4) : curve.slice(0, 3);
  const sorted = [...ends].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? n.pitch;
}

function slideInOf(n: HeardNote, curve: readonly number[], midi: number): SlideIn {
  const size = n.slideIn;
  const known = size === null || size === undefined ? (curve[0] ?? midi) - midi : size;
  const from = known > 0.3 ? 'above' : 'below';
  const semitones = Math.round(Math.abs(known));
  if (size === null || semitones < 1 || semitones > MOST_SLIDE) return { kind: 'indefinite', from };
  return { kind: 'interval', from, semitones };
}

/** Shares of the width at which a bend has begun and has arrived. */
const BEGUN = 0.12;
const ARRIVED = 0.88;

/** The corners of a bend in percent of the note and of its width; as usual where they cannot be told. */
function pointsOf(
  n: HeardNote,
  curve: readonly number[],
  low: number,
  shape: NonNullable<HeardNote['bend']>['shape'],
): readonly BendPoint[] {
  const width = n.bend!.semitones;
  const amounts = curve.map((m) => (m - low) / width);
  const at = (i: number) =>
    Math.round((100 * (n.curve[i]!.at - n.onset)) / Math.max(0.01, n.end - n.onset));
  const up = amounts.findIndex((a) => a >= ARRIVED);
  const from = lastIndex(amounts.slice(0, up), (a) => a <= BEGUN);
  const held = lastIndex(amounts, (a) => a >= ARRIVED);
  const back = amounts.findIndex((a, i) => i > held && a <= BEGUN);
  if (up < 0) return curveOfShape(shape);
  const rise: BendPoint[] =
    shape === 'pre-bend-release'
      ? [{ at: 0, amount: 100 }]
      : [
          { at: 0, amount: 0 },
          { at: at(Math.max(0, from)), amount: 0 },
          { at: at(up), amount: 100 },
        ];
  const fall: BendPoint[] =
    shape === 'bend'
      ? [{ at: 100, amount: 100 }]
      : [
          { at: at(held), amount: 100 },
          { at: back < 0 ? 100 : at(back), amount: 0 },
          { at: 100, amount: 0 },
        ];
  const points = ascending([...rise, ...fall]);
  return points === null ? curveOfShape(shape) : points;
}

/** Points with one amount a moment; null where they do not go on in time. */
function ascending(points: readonly BendPoint[]): readonly BendPoint[] | null {
  const out: BendPoint[] = [];
  for (const p of points) {
    const last = out.at(-1);
    const at = Math.max(0, Math.min(100, p.at));
    if (last !== undefined && at <= last.at) {
      if (last.amount === p.amount) continue;
      // Too quick for a percent: the next one.
      if (last.at >= 99 || last.at - at > 2) return null;
      out.push({ at: last.at + 1, amount: p.amount });
    } else out.push({ at, amount: p.amount });
  }
  return out.at(-1)?.at === 100 ? out : null;
}

function lastIndex(list: readonly number[], test: (x: number) => boolean): number {
  for (let i = list.length - 1; i >= 0; i--) if (test(list[i]!)) return i;
  return -1;
}

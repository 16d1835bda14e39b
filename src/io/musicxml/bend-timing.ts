import type { Bend, BendPoint } from '../../core/phrase/types';

/**
 * When a bend moves, in percent of the whole sounding note (tied notes together): what the
 * attributes `first-beat` and `last-beat` of MusicXML's `<bend>` say (bend-sound group).
 */
export interface BendTiming {
  /** Where the string starts to be bent and where it arrives; null for a pre-bend. */
  readonly rise: readonly [number, number] | null;
  /** Where the release starts and where it ends; null without one. */
  readonly fall: readonly [number, number] | null;
}

/** The defaults of `first-beat` and `last-beat` in MusicXML 4.0. */
export const DEFAULT_FIRST_BEAT = 25;
export const DEFAULT_LAST_BEAT = 75;

type Shape = Bend['shape'];

/** The start and end of the rise and of the fall; what lies between is not kept (see `misc.ts`). */
export function bendTiming(shape: Shape, curve: readonly BendPoint[]): BendTiming {
  const preBent = shape === 'pre-bend' || shape === 'pre-bend-release';
  const released = shape === 'bend-release' || shape === 'pre-bend-release';
  const top = Math.max(0, ...curve.map((p) => p.amount));
  const arrives = curve.findIndex((p) => p.amount === top);
  let leaves = arrives;
  curve.forEach((p, i) => {
    if (p.amount === top) leaves = i;
  });
  const rise: [number, number] = [
    curve.filter((p, i) => i < arrives && p.amount === 0).at(-1)?.at ?? curve[0]?.at ?? 0,
    curve[arrives]?.at ?? 100,
  ];
  const fall: [number, number] = [
    curve[leaves]?.at ?? 0,
    curve.find((p, i) => i > leaves && p.amount === 0)?.at ?? curve.at(-1)?.at ?? 100,
  ];
  return { rise: preBent ? null : rise, fall: released ? fall : null };
}

/**
 * The plain curve with that timing: straight from nothing to the full width and back, over the
 * whole note and ascending. Times from a file that do not follow one another are moved the least
 * that makes them do so, by steps of one percent.
 */
export function curveOfTiming(t: BendTiming): readonly BendPoint[] {
  const released = t.fall !== null;
  const points: BendPoint[] = [];
  const add = (at: number, amount: number) => {
    const last = points.at(-1);
    if (last === undefined || last.at < at) points.push({ at, amount });
  };
  let top = 0;
  if (t.rise === null) add(0, 100);
  else {
    const from = clamp(t.rise[0], 0, released ? 98 : 99);
    top = clamp(t.rise[1], from + 1, released ? 99 : 100);
    add(0, 0);
    add(from, 0);
    add(top, 100);
  }
  if (t.fall !== null) {
    const from = clamp(t.fall[0], top, 99);
    add(from, 100);
    add(clamp(t.fall[1], from + 1, 100), 0);
  }
  add(100, points.at(-1)!.amount);
  return points;
}

function clamp(n: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, n));
}

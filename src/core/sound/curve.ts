import type { Cents, Dip, PitchPoint, Seconds, Sound } from './types';

/** Cents above `sound.midi` at a moment: curve, vibrato and dips of the bar together. */
export function centsAt(sound: Pick<Sound, 'curve' | 'shake' | 'dips'>, at: Seconds): Cents {
  let cents = lineAt(sound.curve, at);
  const { shake, dips } = sound;
  if (shake !== undefined && at > shake.from) {
    cents += (shake.depth * (1 - Math.cos(2 * Math.PI * shake.hertz * (at - shake.from)))) / 2;
  }
  if (dips !== undefined) for (const d of dips) cents -= dipAt(d, at);
  return cents;
}

/** The corners joined by straight lines, held before the first and after the last. */
export function lineAt(curve: readonly PitchPoint[], at: Seconds): Cents {
  const first = curve[0];
  if (first === undefined) return 0;
  if (at <= first.at) return first.cents;
  for (let i = 1; i < curve.length; i++) {
    const b = curve[i]!;
    if (at < b.at) {
      const a = curve[i - 1]!;
      return a.cents + ((b.cents - a.cents) * (at - a.at)) / (b.at - a.at);
    }
  }
  return curve.at(-1)!.cents;
}

function dipAt(d: Dip, at: Seconds): Cents {
  const x = (at - d.from) / d.length;
  if (x <= 0 || x >= 1) return 0;
  return d.depth * (1 - Math.abs(2 * x - 1));
}

/** The sum of two curves: a corner wherever either has one. */
export function addCurves(
  a: readonly PitchPoint[],
  b: readonly PitchPoint[],
): readonly PitchPoint[] {
  if (a.length === 0) return b;
  if (b.length === 0) return a;
  const moments = [...new Set([...a, ...b].map((p) => p.at))].sort((x, y) => x - y);
  return moments.map((at) => ({ at, cents: lineAt(a, at) + lineAt(b, at) }));
}

/** The rest of a curve from a moment on, counted from there. */
export function curveFrom(curve: readonly PitchPoint[], from: Seconds): readonly PitchPoint[] {
  const later = curve.filter((p) => p.at > from).map((p) => ({ ...p, at: p.at - from }));
  return [{ at: 0, cents: lineAt(curve, from) }, ...later];
}

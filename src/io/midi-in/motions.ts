import { curveOfShape } from '../../core/phrase/bend-curve';
import type { Bend, BendPoint, SlideIn } from '../../core/phrase/types';
import type { BendAt } from './song';

/** What the pitch of a note does, read back as what a hand does. */
export interface Motion {
  readonly bend?: {
    readonly shape: Bend['shape'];
    readonly semitones: number;
    readonly curve: readonly BendPoint[];
  };
  readonly slideIn?: SlideIn;
  readonly slideOut?: 'up' | 'down';
  /** Semitones to which it slides at its end; what follows on the string at once is slid to. */
  readonly slidesBy?: number;
  readonly vibrato?: 'narrow' | 'wide';
  /** Something moves that is none of these. */
  readonly unread?: true;
}

/** A corner: share of the note, 0 to 1, and cents. */
interface Corner {
  readonly at: number;
  readonly cents: number;
}

/** Cents within which a pitch is the one that is meant. */
const NEAR = 12;

/**
 * Reads a curve.
 * @param seconds Length of the note.
 * @param next Semitones from this note to the one that follows at once on its string; null without one.
 */
export function motionOf(
  bends: readonly BendAt[],
  from: number,
  to: number,
  seconds: number,
  next: number | null,
): Motion {
  const line = bends.map((b) => ({ at: Math.min(1, (b.at - from) / (to - from)), cents: b.cents }));
  if (line.every((c) => Math.abs(c.cents) < NEAR)) return {};
  const shaken = withoutShake(line, seconds);
  let corners = cornersOf(shaken.line);
  const out: { -readonly [K in keyof Motion]: Motion[K] } = {};
  if (shaken.depth > 0) out.vibrato = shaken.depth > 60 ? 'wide' : 'narrow';
  const goal = glideAtEnd(corners, next);
  if (goal !== null) {
    out.slidesBy = goal.semitones;
    corners = goal.before;
  } else {
    const off = slideOff(corners);
    if (off !== null) {
      out.slideOut = off.way;
      corners = off.before;
    }
  }
  const into = slideInto(corners, seconds);
  if (into !== null) {
    out.slideIn = into.slide;
    corners = into.after;
  }
  if (corners.every((c) => Math.abs(c.cents) < NEAR)) return out;
  const wave = halfWave(corners, seconds);
  if (wave !== null) return { ...out, vibrato: wave };
  const bend = bendOf(corners);
  if (bend === null) out.unread = true;
  else out.bend = bend;
  return out;
}

/** Straight lines within two cents of the curve (Douglas and Peucker 1973). */
function cornersOf(line: readonly Corner[]): readonly Corner[] {
  const all = line.at(-1)!.at < 1 ? [...line, { at: 1, cents: line.at(-1)!.cents }] : line;
  const keep = new Set([0, all.length - 1]);
  const spans: [number, number][] = [[0, all.length - 1]];
  for (let span = spans.pop(); span !== undefined; span = spans.pop()) {
    const [a, b] = span;
    const p = all[a]!;
    const q = all[b]!;
    let worst = 2;
    let at = -1;
    for (let i = a + 1; i < b; i++) {
      const m = all[i]!;
      const share = q.at === p.at ? 0 : (m.at - p.at) / (q.at - p.at);
      const off = Math.abs(m.cents - (p.cents + (q.cents - p.cents) * share));
      if (off > worst) [worst, at] = [off, i];
    }
    if (at < 0) continue;
    keep.add(at);
    spans.push([a, at], [at, b]);
  }
  return [...keep].sort((a, b) => a - b).map((i) => all[i]!);
}

/** A curve without its vibrato, and how deep that was; 0 where there is none. */
function withoutShake(
  line: readonly Corner[],
  seconds: number,
): { line: readonly Corner[]; depth: number } {
  const turns = turnsOf(line);
  // A wave at least, each half of it a tenth of a second or so and alike in depth.
  for (let i = 0; i + 2 < turns.length; i++) {
    const run = [turns[i]!];
    for (let k = i + 1; k < turns.length; k++) {
      const gap = (turns[k]!.at - turns[k - 1]!.at) * seconds;
      const depth = Math.abs(turns[k]!.cents - turns[k - 1]!.cents);
      if (gap < 0.05 || gap > 0.16 || depth < 10 || depth > 160) break;
      const before = run.length < 2 ? depth : Math.abs(run[1]!.cents - run[0]!.cents);
      if (depth < 0.6 * before || depth > 1.6 * before) break;
      run.push(turns[k]!);
    }
    if (run.length < 3) continue;
    const first = run[0]!;
    const depth = Math.abs(run[1]!.cents - first.cents);
    const before = line.filter((c) => c.at <= first.at);
    return { line: [...before, { at: 1, cents: first.cents }], depth };
  }
  return { line, depth: 0 };
}

/** Moments at which the curve turns round by more than a little. */
function turnsOf(line: readonly Corner[]): readonly Corner[] {
  const out: Corner[] = [];
  let last = line[0]!;
  let way = 0;
  for (const c of line) {
    const delta = c.cents - last.cents;
    if (way === 0) {
      if (Math.abs(delta) >= 6) {
        out.push(last);
        way = Math.sign(delta);
        last = c;
      } else if (delta === 0) last = c;
      continue;
    }
    if (Math.sign(delta) === way || delta === 0) {
      last = c;
      continue;
    }
    if (Math.abs(delta) >= 6) {
      out.push(last);
      way = -way;
      last = c;
    }
  }
  return out;
}

/** A way to the pitch of the next note that ends with this one. */
function glideAtEnd(corners: readonly Corner[], next: number | null) {
  if (next === null || next === 0) return null;
  const end = corners.at(-1)!;
  if (Math.abs(end.cents - 100 * next) > NEAR) return null;
  let k = corners.length - 2;
  while (k > 0 && Math.abs(corners[k]!.cents - end.cents) < 50) k -= 1;
  // Where the curve rests before, the way begins at its last rest.
  while (k > 0 && Math.abs(corners[k]!.cents - corners[k - 1]!.cents) > 5) {
    if (corners[k - 1]!.at < 0.45) break;
    k -= 1;
  }
  const rest = corners[k];
  if (rest === undefined || rest.at < 0.45 || Math.abs(rest.cents - end.cents) < 50) return null;
  return { semitones: next, before: [...corners.slice(0, k + 1), { at: 1, cents: rest.cents }] };
}

/** A slide off to no definite pitch: a fourth or so at the end. */
function slideOff(corners: readonly Corner[]) {
  const end = corners.at(-1)!;
  const from = corners.at(-2);
  if (from === undefined || from.at < 0.45) return null;
  const size = end.cents - from.cents;
  if (Math.abs(size) < 400) return null;
  const way = size > 0 ? ('up' as const) : ('down' as const);
  return { way, before: [...corners.slice(0, -1), { at: 1, cents: from.cents }] };
}

/** A short way to the note from below or above at its beginning. */
function slideInto(corners: readonly Corner[], seconds: number) {
  const first = corners[0]!;
  if (Math.abs(first.cents) < 80) return null;
  const arrived = corners.findIndex((c) => Math.abs(c.cents) < 25);
  if (arrived < 0) return null;
  const { at } = corners[arrived]!;
  const semitones = Math.round(Math.abs(first.cents) / 100);
  const from = first.cents < 0 ? ('below' as const) : ('above' as const);
  // From above a pre-bend that is released takes its time.
  const quick = at <= 0.55 && at * seconds <= 0.4 && firstMove(corners) * seconds <= 0.06;
  if (!quick || semitones > 12 || Math.abs(Math.abs(first.cents) - 100 * semitones) > NEAR)
    return null;
  const begins = firstMove(corners) * seconds;
  const indefinite = semitones === 3 && begins < 0.004;
  const slide: SlideIn = indefinite
    ? { kind: 'indefinite', from }
    : { kind: 'interval', from, semitones };
  return { slide, after: [{ at: 0, cents: 0 }, ...corners.slice(arrived + 1)] };
}

/** The share of the note at which the curve leaves its beginning. */
function firstMove(corners: readonly Corner[]): number {
  const first = corners[0]!;
  const moved = corners.findIndex((c) => Math.abs(c.cents - first.cents) > 4);
  return moved <= 0 ? 0 : corners[moved - 1]!.at;
}

/** Vibrato on a short note: no more than the first wave of it, quick, and to no semitone. */
function halfWave(corners: readonly Corner[], seconds: number): 'narrow' | 'wide' | null {
  const top = corners.reduce((a, b) => (b.cents > a.cents ? b : a));
  const rise = (top.at - firstMove(corners)) * seconds;
  const off = Math.abs(top.cents - 100 * Math.round(top.cents / 100));
  if (Math.abs(corners[0]!.cents) > 2 || rise > 0.16 || off < 9) return null;
  // A curl rises by half a semitone and stays.
  if (firstMove(corners) * seconds < 0.01 || Math.abs(top.cents - 50) < 4) return null;
  return top.cents > 60 ? 'wide' : 'narrow';
}

/** A bend by its ends: bent from the start or not, let down at the end or not. */
function bendOf(corners: readonly Corner[]): NonNullable<Motion['bend']> | null {
  const first = corners[0]!.cents;
  const last = corners.at(-1)!.cents;
  const top = Math.max(...corners.map((c) => c.cents));
  if (Math.min(...corners.map((c) => c.cents)) < -25) return null;
  if (top > 42 && top < 75 && Math.abs(first) < 25 && Math.abs(last - top) < NEAR) {
    return { shape: 'curl', semitones: 0.5, curve: pointsOf(corners, top) };
  }
  const semitones = Math.round(top / 100);
  if (semitones < 1 || Math.abs(top - 100 * semitones) > 25) return null;
  const bent = (cents: number) => Math.abs(cents - top) < NEAR;
  const unbent = (cents: number) => Math.abs(cents) < NEAR;
  const shape: Bend['shape'] | null = bent(first)
    ? bent(last)
      ? 'pre-bend'
      : unbent(last)
        ? 'pre-bend-release'
        : null
    : unbent(first)
      ? bent(last)
        ? 'bend'
        : unbent(last)
          ? 'bend-release'
          : null
      : null;
  if (shape === null) return null;
  const curve = pointsOf(corners, top);
  return { shape, semitones, curve: curve.length < 2 ? curveOfShape(shape) : curve };
}

/** Percent of the note and of the width, whole numbers; the first and last as their shape asks. */
function pointsOf(corners: readonly Corner[], top: number): readonly BendPoint[] {
  const points: BendPoint[] = [];
  for (const c of corners) {
    const at = Math.round(c.at * 100);
    const raw = Math.round((100 * c.cents) / top);
    const amount = raw <= 4 ? 0 : raw >= 96 ? 100 : raw;
    if (points.length > 0 && at <= points.at(-1)!.at) continue;
    points.push({ at, amount });
  }
  if (points.length > 0 && points[0]!.at !== 0) points[0] = { ...points[0]!, at: 0 };
  const end = points.at(-1);
  if (end !== undefined && end.at < 100) points.push({ at: 100, amount: end.amount });
  return points;
}

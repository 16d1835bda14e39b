import { type Reading, readingsOf } from './readings';

/** A beat that fits what was played. */
export interface FoundBeat {
  /** Beats a minute. */
  readonly bpm: number;
  /** Seconds at which a beat begins, less than the length of one. */
  readonly phase: number;
  /** How well the onsets lie on it, 0 to 1. */
  readonly fit: number;
}

/** A tempo in which what was played can be read. */
export interface TempoReading {
  /** Beats a minute; dotted beats where it is in three. */
  readonly bpm: number;
  /** Whether its beats are dotted, with three parts each. */
  readonly threes: boolean;
}

/** The likeliest beat, and what it may be as well. */
export interface LikelyBeat extends FoundBeat {
  /** Other readings that are nearly as likely, the likeliest first. */
  readonly others: readonly TempoReading[];
}

/** Slowest and fastest beat that is looked for. */
const SLOWEST = 55;
const FASTEST = 210;
/** Beats are most often near this, and this far to both sides (in octaves): common practice. */
const USUAL = 108;
const SPREAD = 0.75;
/** Only so much of a long recording is looked at, in seconds. */
const LOOKED_AT = 45;
/** The step from tempo to tempo lets the last onset slip by no more than this share of a beat. */
const SLIP = 1 / 24;
/** How much lying on the beat counts, on its half, its quarters and its thirds. */
const LEVELS: readonly (readonly [number, number])[] = [
  [1, 1],
  [2, 0.8],
  [4, 0.55],
  [3, 0.5],
];

/** A reading is offered where its logarithm is no further than this from that of the likeliest (ours). */
const NEARLY = 14;
const MOST_OTHERS = 3;
/** Tempos nearer than this share are one. */
const SAME = 0.04;

/**
 * The tempo of what was played, from its onsets alone: how much they point one way on the circles of the
 * beat and of its parts (a periodogram of the onsets), with a preference for tempos that are usual; then which of the
 * tempos that fit is meant (`readings.ts`).
 * @param onsets Seconds, ascending, each moment once.
 * @param threes Whether the beat is dotted, as in 12/8.
 * @returns null for fewer than four.
 */
export function findBeat(onsets: readonly number[], threes = false): LikelyBeat | null {
  if (onsets.length < 4) return null;
  const begin = onsets[0]!;
  const times = onsets.filter((t) => t - begin < LOOKED_AT);
  if (times.length < 4) return null;
  const length = Math.max(1, times.at(-1)! - begin);
  let best = { score: -1, bpm: USUAL };
  for (let bpm = SLOWEST; bpm <= FASTEST; bpm *= 1 + (SLIP * 60) / bpm / length) {
    const score = scoreOf(times, bpm);
    if (score > best.score) best = { score, bpm };
  }
  const phaseAt = (beat: number) => phaseOf(times, beat).phase;
  const readings = readingsOf(times, exactly(times, best.bpm), phaseAt);
  const read = readings.find((r) => (r.way === 'threes') === threes)!;
  const bpm = nearWhole(read.bpm, length);
  const phase = read.phase === 0 ? 0 : settled(times, 60 / bpm, read.phase);
  const others = othersOf(readings, read).map((r) => ({
    bpm: nearWhole(r.bpm, length),
    threes: r.way === 'threes',
  }));
  return { bpm, phase, fit: fitOf(times, 60 / bpm, phase), others };
}

function othersOf(readings: readonly Reading[], read: Reading): readonly Reading[] {
  const out: Reading[] = [];
  const isSame = (a: Reading) => (b: Reading) =>
    Math.abs(a.bpm / b.bpm - 1) < SAME && (a.way === 'threes') === (b.way === 'threes');
  for (const r of readings) {
    if (r.likely < read.likely - NEARLY || out.length === MOST_OTHERS) break;
    if (![read, ...out].some(isSame(r))) out.push(r);
  }
  return out;
}

/** The place of the top of the score near a tempo. */
function exactly(times: readonly number[], bpm: number): number {
  let best = { score: scoreOf(times, bpm), bpm };
  for (let step = 0.002; step > 1e-5; step /= 2) {
    for (const near of [best.bpm * (1 - step), best.bpm * (1 + step)]) {
      const score = scoreOf(times, near);
      if (score > best.score) best = { score, bpm: near };
    }
  }
  return best.bpm;
}

/** A whole number of beats a minute where the difference cannot be heard: nobody plays to 119.98. */
function nearWhole(bpm: number, length: number): number {
  const whole = Math.round(bpm);
  const slip = Math.abs(60 / whole - 60 / bpm) * ((length * bpm) / 60);
  return slip < 0.03 ? whole : Math.round(bpm * 100) / 100;
}

function scoreOf(times: readonly number[], bpm: number): number {
  const beat = 60 / bpm;
  const prior = Math.exp(-0.5 * (Math.log2(bpm / USUAL) / SPREAD) ** 2);
  const [whole, half, quarter, third] = LEVELS.map(
    ([parts, weight]) => weight * towards(times, beat / parts).length,
  ) as [number, number, number, number];
  return prior * (whole + half + Math.max(quarter, third));
}

/** The mean direction of moments on a circle of so many seconds: 1 where all lie at one place. */
function towards(times: readonly number[], seconds: number): { length: number; at: number } {
  let x = 0;
  let y = 0;
  for (const t of times) {
    const a = (2 * Math.PI * t) / seconds;
    x += Math.cos(a);
    y += Math.sin(a);
  }
  const at = (Math.atan2(y, x) / (2 * Math.PI)) * seconds;
  return { length: Math.hypot(x, y) / times.length, at: at < 0 ? at + seconds : at };
}

/** How far an onset may lie beside its place and still be on it, in seconds. */
const NEAR = 0.022;
/** The recording begins with a beat where that fits nearly as well as the best place. */
const FROM_START = 0.97;

/**
 * Where the beats lie at a known tempo: the place where most onsets are on the beat, then on its half,
 * its quarters, its thirds.
 */
export function phaseOf(times: readonly number[], beat: number): Pick<FoundBeat, 'phase' | 'fit'> {
  if (times.length === 0) return { phase: 0, fit: 0 };
  const fitAt = (phase: number) => fitOf(times, beat, phase);
  let best = { phase: 0, fit: fitAt(0) / FROM_START };
  const steps = Math.max(8, Math.ceil(beat / 0.004));
  for (let i = 1; i < steps; i++) {
    const phase = (i * beat) / steps;
    const fit = fitAt(phase);
    if (fit > best.fit) best = { phase, fit };
  }
  if (best.phase === 0) return { phase: 0, fit: best.fit * FROM_START };
  return { phase: settled(times, beat, best.phase), fit: best.fit };
}

/** How well onsets lie on the beats from a phase on, or on their parts: 0 to 1. */
function fitOf(times: readonly number[], beat: number, phase: number): number {
  let sum = 0;
  for (const t of times) {
    const off = (t - phase) / beat;
    let best = 0;
    for (const [parts, weight] of LEVELS) {
      const away = (Math.abs(off * parts - Math.round(off * parts)) * beat) / parts;
      best = Math.max(best, weight * Math.exp(-0.5 * (away / NEAR) ** 2));
    }
    sum += best;
  }
  return sum / times.length;
}

/** A phase moved to the mean of what lies on it. */
function settled(times: readonly number[], beat: number, near: number): number {
  const off = times
    .map((t) => (t - near) / beat)
    .map((x) => (x * 4 - Math.round(x * 4)) * (beat / 4))
    .filter((d) => Math.abs(d) < NEAR);
  const phase = near + off.reduce((a, b) => a + b, 0) / Math.max(1, off.length);
  return phase < 0 ? phase + beat : phase;
}

/** Seconds by which what was played lies beside the 16ths and thirds of its beats: a hand, or a machine. */
export function looseness(times: readonly number[], beat: number, phase: number): number {
  const off = times.map((t) => {
    const x = (t - phase) / beat;
    const away = (parts: number) => (Math.abs(x * parts - Math.round(x * parts)) * beat) / parts;
    return Math.min(away(4), away(3));
  });
  off.sort((a, b) => a - b);
  // Half of a normal distribution lies within 0.674 of its width.
  return (off[Math.floor(off.length / 2)] ?? 0) / 0.674;
}

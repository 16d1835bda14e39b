/** A beat that fits what was played. */
export interface FoundBeat {
  /** Beats a minute. */
  readonly bpm: number;
  /** Seconds at which a beat begins, less than the length of one. */
  readonly phase: number;
  /** How well the onsets lie on it, 0 to 1. */
  readonly fit: number;
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

/**
 * The tempo of what was played, from its onsets alone: how much they point one way on the circles of the
 * beat and of its parts (a periodogram of the onsets), with a preference for tempos that are usual.
 * @param onsets Seconds, ascending, each moment once.
 * @returns null for fewer than four.
 */
export function findBeat(onsets: readonly number[]): FoundBeat | null {
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
  const bpm = nearWhole(readAs(times, exactly(times, best.bpm), length), length);
  return { bpm, ...phaseOf(times, 60 / bpm) };
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

/** Tempos that what was played can be read in as well, as shares of one that fits. */
const READINGS = [1, 2 / 3, 1 / 2, 2, 3 / 2, 3 / 4, 4 / 3] as const;

/**
 * Which of the tempos that fit is meant: the one in which the rhythm is likeliest, with every place of a beat
 * where something was struck and every one where nothing was. Long and short notes in turn are a swing and no
 * faster beat in threes.
 */
function readAs(times: readonly number[], bpm: number, length: number): number {
  let best = { likely: Number.NEGATIVE_INFINITY, bpm };
  for (const share of READINGS) {
    const other = bpm * share;
    if (other < SLOWEST || other > FASTEST) continue;
    const { phase } = phaseOf(times, 60 / other);
    const prior = -0.5 * (Math.log2(other / USUAL) / LIKELY_SPREAD) ** 2;
    for (const way of WAYS) {
      const likely = prior + likelihood(times, 60 / other, phase, way, length);
      if (likely > best.likely) best = { likely, bpm: other };
    }
  }
  return best.bpm;
}

/** How far from the usual tempo beats are, in octaves, where rhythms are weighed against each other. */
const LIKELY_SPREAD = 0.4;

/** How often something is struck at the places of a beat, straight and swung (ours). */
const WAYS: readonly (readonly (readonly [at: number, often: number])[])[] = [
  [
    [0, 0.78],
    [1 / 4, 0.09],
    [1 / 3, 0.05],
    [1 / 2, 0.5],
    [2 / 3, 0.05],
    [3 / 4, 0.12],
  ],
  [
    [0, 0.78],
    [1 / 3, 0.08],
    [2 / 3, 0.5],
  ],
];
/** How far a hand is off, in seconds, and how likely a moment is to lie at no place at all. */
const OFF = 0.016;
const NOWHERE = 0.01;

function likelihood(
  times: readonly number[],
  beat: number,
  phase: number,
  places: (typeof WAYS)[number],
  length: number,
): number {
  // Every place empty, then every moment struck in place of an empty one.
  const beats = Math.max(1, length / beat);
  let sum = beats * places.reduce((all, [, often]) => all + Math.log(1 - often), 0);
  for (const t of times) {
    const x = (t - phase) / beat;
    const at = x - Math.floor(x);
    let here = NOWHERE;
    for (const [place, often] of places) {
      const away = Math.abs(at - place);
      const off = (Math.min(away, 1 - away) * beat) / OFF;
      here += (often / (1 - often)) * Math.exp(-0.5 * off * off);
    }
    sum += Math.log(here);
  }
  return sum;
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
  const fitAt = (phase: number) => {
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
  };
  let best = { phase: 0, fit: fitAt(0) / FROM_START };
  const steps = Math.max(8, Math.ceil(beat / 0.004));
  for (let i = 1; i < steps; i++) {
    const phase = (i * beat) / steps;
    const fit = fitAt(phase);
    if (fit > best.fit) best = { phase, fit };
  }
  if (best.phase === 0) return { phase: 0, fit: best.fit * FROM_START };
  // The mean of what lies on it, between the steps.
  const off = times
    .map((t) => (t - best.phase) / beat)
    .map((x) => (x * 4 - Math.round(x * 4)) * (beat / 4))
    .filter((d) => Math.abs(d) < NEAR);
  const shift = off.reduce((a, b) => a + b, 0) / Math.max(1, off.length);
  const phase = best.phase + shift;
  return { phase: phase < 0 ? phase + beat : phase, fit: best.fit };
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

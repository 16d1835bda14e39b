/** How a beat is divided: evenly, as swung eighths, or as a dotted beat in three. */
export type BeatWay = 'straight' | 'swung' | 'threes';

/** One way in which a tempo and a phase read what was played. */
export interface Reading {
  readonly bpm: number;
  /** Seconds at which a beat begins, less than the length of one. */
  readonly phase: number;
  readonly way: BeatWay;
  /** Logarithm of how likely the rhythm is so. */
  readonly likely: number;
}

type Place = readonly [at: number, often: number];

interface Way {
  readonly name: BeatWay;
  /** How often something is struck at the places of a beat (ours). */
  readonly places: readonly Place[];
  /**
   * Beats are most often near this, and this far to both sides in octaves (common practice; a dotted beat is slower). Where a tempo
   * and its double fit, this decides: the README says what it was judged on.
   */
  readonly usual: number;
  readonly spread: number;
  /** How often beats are of this way (ours). */
  readonly share: number;
}

const WAYS: readonly Way[] = [
  {
    name: 'straight',
    places: [
      [0, 0.78],
      [1 / 4, 0.09],
      [1 / 3, 0.05],
      [1 / 2, 0.5],
      [2 / 3, 0.05],
      [3 / 4, 0.12],
    ],
    usual: 108,
    spread: 0.22,
    share: 0.5,
  },
  {
    name: 'swung',
    places: [
      [0, 0.78],
      [1 / 3, 0.08],
      [2 / 3, 0.5],
    ],
    usual: 108,
    spread: 0.22,
    share: 0.5,
  },
  {
    name: 'threes',
    places: [
      [0, 0.85],
      [1 / 6, 0.04],
      [1 / 3, 0.4],
      [1 / 2, 0.05],
      [2 / 3, 0.6],
      [5 / 6, 0.06],
    ],
    usual: 62,
    spread: 0.4,
    share: 0.2,
  },
];

/** How far a hand is off, in seconds, and how likely a moment is to lie at no place at all. */
const OFF = 0.016;
const NOWHERE = 0.01;
/** How often a note that begins on the beat, on its half or at its two thirds, or elsewhere is long beside those before it (ours). */
const LONG = { beat: 0.3, half: 0.15, else: 0.06 };
/** Long is what lasts so many times as long as what is usual. */
const LONGER = 1.8;

/** Slowest and fastest beat that is thought of. */
const SLOWEST = 40;
const FASTEST = 220;

/**
 * The likelihood of moments in a reading: with every place of a beat where something was struck and every one where
 * nothing was, and long notes more often on the beat.
 */
function likelihood(
  times: readonly number[],
  long: readonly boolean[],
  beat: number,
  phase: number,
  places: readonly Place[],
): number {
  const length = times.at(-1)! - times[0]!;
  // Every place empty, then every moment struck in place of an empty one.
  const beats = Math.max(1, length / beat);
  let sum = beats * places.reduce((all, [, often]) => all + Math.log(1 - often), 0);
  times.forEach((t, i) => {
    const x = (t - phase) / beat;
    const at = x - Math.floor(x);
    let here = NOWHERE * (long[i] ? LONG.else : 1 - LONG.else);
    for (const [place, often] of places) {
      const away = Math.abs(at - place);
      const off = (Math.min(away, 1 - away) * beat) / OFF;
      const share = place === 0 ? LONG.beat : often >= 0.5 ? LONG.half : LONG.else;
      here += (long[i] ? share : 1 - share) * (often / (1 - often)) * Math.exp(-0.5 * off * off);
    }
    sum += Math.log(here);
  });
  return sum;
}

/** Which moments last long beside what is usual; the last one does. */
function longOnes(times: readonly number[]): readonly boolean[] {
  const steps = times.slice(1).map((t, i) => t - times[i]!);
  const usual = [...steps].sort((a, b) => a - b)[steps.length >> 1] ?? 0;
  return times.map((_, i) => i === times.length - 1 || steps[i]! >= LONGER * usual);
}

/** Tempos that what was played can be read in as well, as shares of one that fits. */
const SHARES = [1, 2 / 3, 1 / 2, 2, 3 / 2, 3 / 4, 4 / 3, 1 / 3, 3] as const;
/** Where the beat may lie beside the place that fits best, as shares of it. */
const SHIFTS = [0, 1 / 2, 1 / 3, 2 / 3] as const;
/** What a beat that begins with the recording counts more, as a logarithm: a file is often cut there. */
const FROM_START = 1;

/**
 * The ways of reading moments at a tempo that fits and at its relatives, the likeliest first.
 * @param phaseAt Where the beats lie at so many seconds a beat.
 */
export function readingsOf(
  times: readonly number[],
  bpm: number,
  phaseAt: (beat: number) => number,
): readonly Reading[] {
  const long = longOnes(times);
  const out: Reading[] = [];
  for (const share of SHARES) {
    const other = bpm * share;
    if (other < SLOWEST || other > FASTEST) continue;
    const beat = 60 / other;
    const base = phaseAt(beat);
    for (const way of WAYS) {
      const prior = Math.log(way.share) - 0.5 * (Math.log2(other / way.usual) / way.spread) ** 2;
      let best: Reading | null = null;
      for (const shift of SHIFTS) {
        const moved = (base + shift * beat) % beat;
        const near = moved < 0.004 || beat - moved < 0.004;
        const phase = near ? 0 : moved;
        const start = phase === 0 ? FROM_START : 0;
        const likely = prior + start + likelihood(times, long, beat, phase, way.places);
        if (best === null || likely > best.likely) {
          best = { bpm: other, phase, way: way.name, likely };
        }
      }
      out.push(best!);
    }
  }
  return out.sort((a, b) => b.likely - a.likely);
}

/** What a generated phrase may contain; each can be left out, and a failing phrase loses them first. */
export const FEATURES = [
  'tunings',
  'capo',
  'meters',
  'meter changes',
  'pickup',
  'partial bar',
  'repeats',
  'swing',
  'lane',
  'second voice',
  'tuplets',
  'fine rhythm',
  'double stops',
  'chords',
  'dead notes',
  'legato',
  'bends',
  'slide-ins',
  'slide-outs',
  'vibrato',
  'trills',
  'harmonics',
  'bar dips',
  'ghost notes',
  'let ring',
  'graces',
  'rakes',
  'strokes',
  'articulations',
  'fingers',
  'anchors',
  'roles',
  'pins',
  'marks',
] as const;

export type Feature = (typeof FEATURES)[number];

export interface PhraseOptions {
  /**
   * Notes stay around a hand that can play them: reach of at most five frets, at most four fingers,
   * what is held keeps its place. Default true; otherwise frets are anywhere on the neck.
   */
  readonly playable?: boolean;
  /** Most full bars; default 4. */
  readonly maxBars?: number;
  readonly without?: readonly Feature[];
  /** Keeps at most so many events of each voice. */
  readonly maxEvents?: number;
}

/** The options as the generator asks them. */
export interface Recipe {
  readonly seed: number;
  readonly playable: boolean;
  readonly maxBars: number;
  readonly maxEvents: number;
  has(f: Feature): boolean;
}

export function recipeOf(seed: number, o: PhraseOptions): Recipe {
  const out = new Set(o.without ?? []);
  return {
    seed,
    playable: o.playable ?? true,
    maxBars: o.maxBars ?? 4,
    maxEvents: o.maxEvents ?? Number.POSITIVE_INFINITY,
    has: (f) => !out.has(f),
  };
}

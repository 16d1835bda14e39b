/** Samples a second that the model hears. */
export const RATE = 22_050;
/** Samples from one frame to the next, 11.6 ms. */
export const HOP = 256;
/** Seconds from one frame to the next. */
export const FRAME = HOP / RATE;
/** Lowest pitch that is listened for, a MIDI number: three semitones under the guitar's lowest string. */
export const LOWEST = 37;
/** It is listened for lower, and less high, where strings go lower: no further than this, under the E of a bass. */
export const DEEPEST = 27;
/** The lowest pitch to listen for, of what has its lowest string there; both MIDI numbers. */
export const firstRow = (string: number): number =>
  Math.max(DEEPEST, Math.min(LOWEST, Math.floor(string) - 1));
/** Pitches that are listened for, a semitone each. */
export const PITCHES = 54;
/** Lengths of the two spectra of a frame: a long one for pitch, a short one for time. */
export const WINDOWS = [4096, 1024] as const;
/**
 * The same where the lowest row lies under this pitch: at 41 Hz a longer one tells semitones apart, and on the low strings of a
 * guitar it is too slow for damped strokes (README).
 */
export const BASS = 32;
export const BASS_WINDOWS = [8192, 1024] as const;
/** Places of a spectrum, three a semitone. */
export const BINS = 261;
/** Where the partials of a pitch lie, in bins: a third and a half of it, and one to eight times it. */
export const PARTIALS = [-57, -36, 0, 36, 57, 72, 84, 93, 101, 108] as const;
/** Bins of each partial that are looked at. */
export const REACH = 7;
/** Values that the network keeps for a pitch and frame. */
export const CHANNELS = 64;
/** Distance in time at which each block looks, in frames. */
export const DILATIONS = [1, 2, 4, 8, 16, 2, 8, 1] as const;
/** Which blocks also look at other pitches, and at which distances in semitones. */
export const MIXES = [true, false, true, false, true, false, true, false] as const;
export const MIX_STEPS = [-24, -19, -12, -7, -5, 0, 5, 7, 12, 19, 24] as const;
/** Values that a block hands to other pitches. */
export const MIXED = 12;
/** Values that come out for a pitch and frame; see `Posteriors`. */
export const OUTPUTS = 16;

/** A tensor of the file: `matrices` of `rows` to `columns`; a bias is one row. */
export interface TensorShape {
  readonly name: string;
  readonly matrices: number;
  readonly rows: number;
  readonly columns: number;
}

/** The tensors in the order of the file, without gaps. */
export const TENSORS: readonly TensorShape[] = [
  { name: 'first.w', matrices: 3 * PARTIALS.length, rows: 2 * REACH, columns: CHANNELS },
  bias('first', CHANNELS),
  ...DILATIONS.flatMap((_, i) => [
    { name: `b${i}.t.w`, matrices: 3, rows: CHANNELS, columns: CHANNELS },
    bias(`b${i}.t`, CHANNELS),
    { name: `b${i}.p.w`, matrices: 3, rows: CHANNELS, columns: CHANNELS },
    bias(`b${i}.p`, CHANNELS),
    ...(MIXES[i]
      ? [
          { name: `b${i}.a.w`, matrices: 1, rows: CHANNELS, columns: MIXED },
          bias(`b${i}.a`, MIXED),
          { name: `b${i}.m.w`, matrices: MIX_STEPS.length, rows: MIXED, columns: CHANNELS },
        ]
      : []),
  ]),
  { name: 'head.w', matrices: 1, rows: CHANNELS, columns: OUTPUTS },
  bias('head', OUTPUTS),
  { name: 'dead.w', matrices: 1, rows: 5, columns: CHANNELS },
  bias('dead', 1),
];

function bias(of: string, columns: number): TensorShape {
  return { name: `${of}.b`, matrices: 1, rows: 1, columns };
}

/** Bytes of the file of weights: 16 bits a number. */
export const WEIGHT_BYTES =
  2 * TENSORS.reduce((sum, t) => sum + t.matrices * t.rows * t.columns, 0);

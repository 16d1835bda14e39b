import type { ToneName } from '../../core/sound/tone';

/** How a string of a tone is made to sound. */
export interface Tone {
  /** What a player calls it. */
  readonly word: string;
  /** Plucking point from the bridge, as a fraction of the open string; the hand stays where it is. */
  readonly pluck: number;
  /** Softness of the pick or finger: corner of two lowpasses on the pulse, in hertz. */
  readonly pick: number;
  /** Louder is brighter: octaves of the corner for 6 dB. */
  readonly bright: number;
  /** Loss at 0 Hz in nepers a second of a string tuned to E2, and what it grows by an octave, as a factor. */
  readonly loss: number;
  readonly lossOctave: number;
  /** What is added at 1 kHz, and its factor an octave of the open string. */
  readonly lossHigh: number;
  readonly lossHighOctave: number;
  /** The added loss grows with the square of the frequency up to here, in hertz. */
  readonly lossCorner: number;
  /** Place of a magnetic pickup from the bridge as a fraction of the open string; null for none. */
  readonly pickup: number | null;
  /** Pick noise, and the knock of the body, against the peak of the string. */
  readonly noise: number;
  readonly knock: number;
  /** Body or cabinet: decibels at third octaves from 62.5 Hz. */
  readonly body: readonly number[];
  /** How hard the strings together drive an amplifier; 0 for none. */
  readonly drive: number;
  /** Decibels on all of it, so that tones are about equally loud. */
  readonly gain: number;
}

/**
 * A steel-string guitar. Pluck, losses and the body with the microphone's place are fitted to one solo
 * of GuitarSet (Xi, Bittner, Pauwels, Ye, Bello, ISMIR 2018, CC BY 4.0): numbers only, no sound of it.
 */
const STEEL: Tone = {
  word: 'steel acoustic',
  pluck: 0.149,
  pick: 1690,
  bright: 0.158,
  loss: 1.0,
  lossOctave: 1.3,
  lossHigh: 0.831,
  lossHighOctave: 0.514,
  lossCorner: 2035,
  pickup: null,
  noise: 0.001,
  knock: 0.004_78,
  body: [
    13.8, 18.4, 25.9, 19.6, 10.9, 8.65, 7.02, 2.19, -2.63, -9.94, -11.5, -11.0, -9.83, -6.68, -15.0,
    -11.9, -14.0, -10.3, -7.92, -5.92, -0.78, 3.53, 7.46,
  ],
  drive: 0,
  gain: -12,
};

/** A guitar loudspeaker of 30 cm: little below 90 Hz, a hill at 2.5 kHz, steeply down from 5 kHz (from memory). */
const CABINET = [
  -14, -8, -3, 0, 1, 1, 0, -1, -2, -2, -2, -1, 0, 1, 2, 3, 4, 3, -1, -9, -18, -27, -34,
];

/** The other tones are ours, by ear of memory and not measured: where an instrument differs from steel strings, and why. */
export const TONE: Readonly<Record<ToneName, Tone>> = {
  clean: {
    ...STEEL,
    word: 'clean electric',
    pluck: 0.17,
    pick: 2600,
    // A solid body takes less from the strings.
    loss: 0.55,
    lossHigh: 0.5,
    pickup: 0.14,
    noise: 0.002,
    knock: 0,
    body: CABINET,
    gain: -7,
  },
  driven: {
    ...STEEL,
    word: 'driven electric',
    pluck: 0.15,
    pick: 2600,
    loss: 0.45,
    lossHigh: 0.45,
    pickup: 0.1,
    noise: 0.002,
    knock: 0,
    body: CABINET,
    drive: 9,
    gain: -11,
  },
  steel: STEEL,
  nylon: {
    ...STEEL,
    word: 'nylon',
    pluck: 0.2,
    // A fingertip is softer than a pick, and nylon loses its high partials sooner than steel.
    pick: 900,
    loss: 1.3,
    lossHigh: 1.5,
    noise: 0.000_5,
    knock: 0.008,
    gain: -11,
  },
  bass: {
    ...STEEL,
    word: 'bass',
    pluck: 0.18,
    pick: 700,
    loss: 0.7,
    lossHigh: 0.9,
    pickup: 0.16,
    noise: 0.001,
    knock: 0,
    body: [3, 4, 4, 3, 2, 1, 0, 0, -1, -1, -1, 0, 0, 0, -1, -2, -4, -7, -11, -16, -22, -28, -34],
    gain: -6,
  },
  ukulele: {
    ...STEEL,
    word: 'ukulele',
    pluck: 0.25,
    pick: 1100,
    // Short strings on a small top: they speak at once and die soon.
    loss: 2.6,
    lossHigh: 1.8,
    knock: 0.01,
    body: [-12, -8, -4, 0, 6, 12, 14, 9, 4, 1, -2, -4, -6, -5, -7, -8, -9, -9, -8, -7, -4, -2, 0],
    gain: -8,
  },
};

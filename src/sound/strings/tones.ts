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
  /** What is added high up, and its factor an octave of the open string; half of it at the corner in hertz. */
  readonly lossHigh: number;
  readonly lossHighOctave: number;
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
  /** Decibels an octave that higher notes are struck louder by, about A3, so that low strings do not drown them. */
  readonly balance: number;
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
  pick: 1360,
  bright: 0.158,
  loss: 1.0,
  lossOctave: 1.3,
  lossHigh: 10.5,
  lossHighOctave: 0.6,
  lossCorner: 3380,
  pickup: null,
  noise: 0.001,
  knock: 0.006,
  body: [
    7.65, 14.2, 25.5, 18.8, 10.8, 9.3, 6.19, 1.08, -4.35, -11.6, -11.1, -10.2, -8.69, -4.58, -13.4,
    -9.51, -11.1, -7.74, -6.47, -5.33, -2.03, 2.99, 9.65,
  ],
  drive: 0,
  // How loud the solo's player struck low and high notes, against strings struck alike.
  balance: 3.5,
  gain: -9,
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
    lossHigh: 7.2,
    pickup: 0.14,
    noise: 0.002,
    knock: 0,
    body: CABINET,
    balance: 0,
    gain: -12,
  },
  driven: {
    ...STEEL,
    word: 'driven electric',
    pluck: 0.15,
    pick: 2600,
    loss: 0.45,
    lossHigh: 6.5,
    pickup: 0.1,
    noise: 0.002,
    knock: 0,
    body: CABINET,
    drive: 9,
    balance: 0,
    gain: -14,
  },
  steel: STEEL,
  nylon: {
    ...STEEL,
    word: 'nylon',
    pluck: 0.2,
    // A fingertip is softer than a pick, and nylon loses its high partials sooner than steel.
    pick: 900,
    loss: 1.3,
    lossHigh: 21,
    noise: 0.000_5,
    knock: 0.008,
    gain: -12.5,
  },
  bass: {
    ...STEEL,
    word: 'bass',
    pluck: 0.18,
    pick: 700,
    loss: 0.7,
    lossHigh: 13,
    pickup: 0.16,
    noise: 0.001,
    knock: 0,
    body: [3, 4, 4, 3, 2, 1, 0, 0, -1, -1, -1, 0, 0, 0, -1, -2, -4, -7, -11, -16, -22, -28, -34],
    balance: 0,
    gain: -14,
  },
  ukulele: {
    ...STEEL,
    word: 'ukulele',
    pluck: 0.25,
    pick: 1100,
    // Short strings on a small top: they speak at once and die soon.
    loss: 2.6,
    lossHigh: 26,
    knock: 0.01,
    body: [-12, -8, -4, 0, 6, 12, 14, 9, 4, 1, -2, -4, -6, -5, -7, -8, -9, -9, -8, -7, -4, -2, 0],
    balance: 0,
    gain: -13,
  },
};

import type { Drum } from '../../core/sound/parts';
import type { BandShape } from '../dsp/band';
import type { FallShape } from '../dsp/falling';

/** How one piece of the kit is made: resonances, bands of noise, a skin whose pitch falls. */
export interface Piece {
  /** Hertz, seconds to a factor of e, size. */
  readonly rings: readonly (readonly [hertz: number, seconds: number, size: number])[];
  readonly bands: readonly (BandShape & { readonly size: number })[];
  readonly skin?: FallShape & { readonly size: number };
  /** The band that a brush draws has no stroke. */
  readonly drawn?: true;
}

const band = (low: number, high: number, seconds: number, size: number, attack = 0.000_5) => ({
  low,
  high,
  seconds,
  size,
  attack,
});

/**
 * A cymbal: resonances spread over the range without order (steps of the golden section over the
 * octaves), the higher the shorter.
 */
function plate(o: {
  from: number;
  to: number;
  count: number;
  /** Seconds to a factor of e at 1 kHz. */
  seconds: number;
  size: number;
}): Piece['rings'] {
  const octaves = Math.log2(o.to / o.from);
  return Array.from({ length: o.count }, (_, i) => {
    const hertz = o.from * 2 ** (octaves * ((i * 0.618_033_988_75 + 0.11) % 1));
    const seconds = o.seconds * (1000 / hertz) ** 0.45;
    const sign = i % 2 === 0 ? 1 : -1;
    // The stick sets the slow, wide movements of a plate going less.
    const share = Math.min(1, (hertz / 2800) ** 0.7);
    return [hertz, seconds, (sign * share * o.size) / Math.sqrt(o.count)] as const;
  });
}

/** A small kit, all of it computed. The numbers are ours: sizes at mezzo-forte, by ear of memory and by spectrogram. */
export const PIECES: Readonly<Record<Drum, Piece>> = {
  kick: {
    rings: [],
    bands: [band(800, 3500, 0.005, 0.35), band(60, 300, 0.02, 0.25)],
    skin: { from: 120, to: 49, fall: 0.025, seconds: 0.1, size: 0.42 },
  },
  snare: {
    rings: [
      [186, 0.055, 0.16],
      [331, 0.035, 0.11],
      [517, 0.02, 0.05],
    ],
    bands: [band(1200, 9000, 0.06, 0.42), band(300, 2500, 0.03, 0.3)],
  },
  'cross-stick': {
    rings: [
      [412, 0.016, 0.12],
      [868, 0.012, 0.15],
      [1720, 0.014, 0.2],
      [2630, 0.008, 0.12],
    ],
    bands: [band(1500, 7000, 0.004, 0.3)],
  },
  brush: {
    rings: [[186, 0.03, 0.03]],
    bands: [band(900, 8000, 0.045, 0.32, 0.006)],
  },
  sweep: { rings: [], bands: [band(1300, 6500, 0.05, 0.16)], drawn: true },
  'closed hat': {
    rings: plate({ from: 2800, to: 9800, count: 10, seconds: 0.05, size: 0.05 }),
    bands: [band(6500, 15_000, 0.022, 0.5)],
  },
  'open hat': {
    rings: plate({ from: 2800, to: 9800, count: 14, seconds: 0.5, size: 0.04 }),
    bands: [band(5500, 15_000, 0.24, 0.36)],
  },
  'foot hat': {
    rings: plate({ from: 1800, to: 6500, count: 8, seconds: 0.05, size: 0.05 }),
    bands: [band(3500, 11_000, 0.028, 0.34, 0.003)],
  },
  ride: {
    rings: plate({ from: 420, to: 8800, count: 28, seconds: 1.0, size: 0.06 }),
    bands: [band(5000, 15_000, 0.016, 0.3), band(3500, 12_000, 0.35, 0.045)],
  },
  bell: {
    rings: [
      [812, 0.7, 0.05],
      [1275, 0.6, 0.045],
      [2110, 0.5, 0.04],
      [3390, 0.35, 0.03],
      [5180, 0.25, 0.02],
    ],
    bands: [band(4000, 12_000, 0.012, 0.2), band(3500, 12_000, 0.3, 0.02)],
  },
  crash: {
    rings: plate({ from: 330, to: 7600, count: 26, seconds: 1.1, size: 0.06 }),
    bands: [
      band(400, 3000, 0.9, 0.14, 0.004),
      band(2500, 9000, 0.55, 0.22, 0.002),
      band(6000, 15_000, 0.3, 0.24),
    ],
  },
  'high tom': {
    rings: [[262, 0.09, 0.06]],
    bands: [band(500, 4000, 0.008, 0.2)],
    skin: { from: 205, to: 158, fall: 0.06, seconds: 0.16, size: 0.26 },
  },
  'low tom': {
    rings: [[148, 0.1, 0.06]],
    bands: [band(350, 3000, 0.01, 0.2)],
    skin: { from: 118, to: 86, fall: 0.07, seconds: 0.2, size: 0.3 },
  },
};

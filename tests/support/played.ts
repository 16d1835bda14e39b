import type { AsPlayed } from '../../src/core/heard/played';

/** A phrase of two notes as it was played, the second hammered on and bent. */
export const playedOf = (id: string, kept = '2026-11-28T20:00:00.000Z'): AsPlayed => ({
  ...{ format: 'degreewise-played', version: 1, id, kept },
  ...{ seconds: 1.8, begin: 0.25, bars: [0.25] },
  sounds: [
    { note: 'n1', onset: 0.3, end: 0.8, pitch: 60.08, confidence: 0.91, pitches: [[0, 60.08]] },
    {
      ...{ note: 'n2', onset: 0.82, end: 1.3, pitch: 63, confidence: 0.84, attack: 'hammer-on' },
      pitches: [
        [0, 62.02],
        [0.3, 64],
        [0.48, 63.97],
      ],
    },
  ],
  corrected: ['Vibrato'],
});

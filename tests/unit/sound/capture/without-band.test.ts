import { expect, it } from 'vitest';
import type { HeardNote } from '../../../../src/core/heard/types';
import { withoutBand } from '../../../../src/sound/capture/without-band';

const RATE = 22_050;

/** Notes with a sine of their own loudness each. */
function sounding(notes: readonly (readonly [at: number, midi: number, size: number])[]) {
  const samples = new Float32Array(4 * RATE);
  for (const [at, midi, size] of notes) {
    const step = (2 * Math.PI * 440 * 2 ** ((midi - 69) / 12)) / RATE;
    for (let i = 0; i < 0.2 * RATE; i++)
      samples[Math.round(at * RATE) + i]! += size * Math.sin(step * i);
  }
  const heard = notes.map(
    ([onset, pitch]): HeardNote => ({
      onset,
      end: onset + 0.2,
      pitch,
      start: pitch,
      curve: [],
      attack: 'pluck',
      muted: false,
      confidence: 0.9,
    }),
  );
  return { samples, heard: { notes: heard, dead: [], seconds: 4 } };
}

it('leaves out what is the band’s in time and pitch and soft, and nothing else', () => {
  const playing = [
    [0.5, 64, 0.3],
    [1, 67, 0.25],
    [1.5, 69, 0.3],
    [2, 64, 0.28],
  ] as const;
  const { samples, heard } = sounding([
    ...playing,
    // Of the band, leaked in, and an octave up; played with the band, as loud as the rest; soft, and not the band's.
    [1, 40, 0.01],
    [1.5, 57, 0.01],
    [2.5, 60, 0.3],
    [3, 72, 0.01],
  ]);
  const band = [
    { at: 1.02, midi: 40 },
    { at: 1.49, midi: 45 },
    { at: 2.5, midi: 60 },
  ];
  const left = withoutBand(heard, samples, RATE, band).notes.map((n) => n.pitch);
  expect(left).toEqual([64, 67, 69, 64, 60, 72]);
  expect(withoutBand(heard, samples, RATE, []).notes).toHaveLength(8);
});

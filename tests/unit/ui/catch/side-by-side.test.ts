import { expect, it } from 'vitest';
import { readWav } from '../../../../src/io/wav/read';
import { writeWav } from '../../../../src/io/wav/write';
import { sideBySide } from '../../../../src/ui/catch/side-by-side';

const RATE = 1000;

/** Silence with one sample that is heard. */
function click(length: number, at: number, level: number): Float32Array {
  const x = new Float32Array(length);
  x[at] = level;
  return x;
}

it('lays the phrase on the time of the recording, as loud, in a file of two channels', () => {
  // The recording clicks at 2.5 s; the phrase, which begins with a rest at 2 s, clicks in its middle.
  const samples = click(6000, 2500, 0.5);
  const part = { samples, rate: RATE, from: 2.2, to: 3 };
  const both = sideBySide(part, click(1500, 500, 0.1), 2);
  expect(both.length).toBe(1600);
  expect(both[2 * 300]).toBe(0.5);
  expect(both[2 * 300 + 1]).toBeCloseTo(0.5, 5);
  // One that begins later than what is heard of the recording.
  const late = sideBySide({ ...part, from: 1 }, click(900, 100, 0.9), 1.5);
  expect(late.findIndex((v, i) => i % 2 === 1 && v !== 0)).toBe(2 * 600 + 1);
  // Two channels of the file are read as their mean.
  const read = readWav(writeWav(both, 8 * RATE, 16, 2));
  expect(read.ok && read.value.samples.length).toBe(800);
  expect(read.ok && read.value.samples[300]).toBeCloseTo(0.5, 3);
});

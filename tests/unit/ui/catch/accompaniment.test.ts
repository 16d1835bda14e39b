import { expect, it } from 'vitest';
import { roundOf } from '../../../../src/ui/catch/accompaniment';

const RATE = 22_050;

/** Power of a stretch of a beat, from its beginning. */
function power(x: Float32Array, from: number, seconds: number): number {
  const part = x.subarray(Math.round(from * RATE), Math.round((from + seconds) * RATE));
  return part.reduce((sum, v) => sum + v * v, 0) / part.length;
}

it('is a bar of clicks on its beats, or the band once through the chords', () => {
  const wish = { bpm: 120, lane: '', key: '' };
  const click = roundOf({ ...wish, way: 'click' }, RATE);
  if (!click.ok) throw new Error(click.problems[0]!.message);
  expect(click.value.seconds).toBeCloseTo(2, 3);
  // A click has a form where chords are said, and else none.
  expect(click.value.form).toBeNull();
  const over = roundOf({ ...wish, lane: 'I7 | IV7 | I7', way: 'click' }, RATE);
  expect(over.ok && over.value.form).toBeCloseTo(6, 3);
  for (let beat = 0; beat < 4; beat++) {
    const at = beat * 0.5;
    expect(power(click.value.samples, at, 0.05)).toBeGreaterThan(
      20 * power(click.value.samples, at + 0.25, 0.2),
    );
  }
  const band = roundOf({ ...wish, lane: 'I7 | IV7', key: 'A', way: 'band' }, RATE);
  if (!band.ok) throw new Error(band.problems[0]!.message);
  expect(band.value.seconds).toBeCloseTo(4, 3);
  expect(band.value.form).toBe(band.value.seconds);
  expect(band.value.notes.every((n) => n.at > -0.1 && n.at < 4)).toBe(true);
  // The root of each chord in the bass where its bar begins: A and D.
  for (const [at, root] of [
    [0, 9],
    [2, 2],
  ] as const) {
    const lowest = band.value.notes
      .filter((n) => Math.abs(n.at - at) < 0.05)
      .sort((a, b) => a.midi - b.midi)[0];
    expect(lowest!.midi % 12).toBe(root);
  }
  expect(roundOf({ ...wish, way: 'band' }, RATE)).toMatchObject({
    ok: false,
    problems: [{ message: 'a band needs chords to play' }],
  });
});

import { expect, it } from 'vitest';
import { looseness, standingOf, standingScore } from '../../../../src/core/joins/standing';
import { TICKS_PER_QUARTER } from '../../../../src/core/phrase/types';
import { canonicalSymbol, chordOf } from '../../../../src/core/theory/chord';

/** `[quarter, quarters, MIDI]` over a bar of C7 and a bar of F7 in 4/4. */
function stand(...notes: readonly (readonly [number, number, number])[]) {
  const spans = ['C7', 'F7'].map((text, index) => {
    const symbol = canonicalSymbol(text);
    if (!symbol.ok) throw new Error(text);
    const onset = 4 * index * TICKS_PER_QUARTER;
    return { index, onset, end: onset + 4 * TICKS_PER_QUARTER, chord: chordOf(symbol.value) };
  });
  const line = notes.map(([at, length, midi]) => ({
    onset: at * TICKS_PER_QUARTER,
    duration: length * TICKS_PER_QUARTER,
    midi,
  }));
  return standingOf(line, { spans, meter: { beats: 4, beatType: 4 }, bar: 0 });
}

// Reckoned by hand from the chords and their home scales (M4).
it('tells chord tones by the time they sound, and notes outside the home scale', () => {
  // E and B♭ are of C7, D of its scale, C♯ of neither; the long E counts with two quarters.
  const s = stand([0, 3, 64], [3, 0.5, 62], [3.25, 0.25, 61], [3.5, 0.25, 70]);
  expect(s.tones).toBeCloseTo(2.25 / 3, 12);
  expect(s).toMatchObject({ outside: 0.25, endsOnTone: true, lastEighth: 7 });
  // The one long note begins on the first beat.
  expect(s.firm).toBeCloseTo(2 / 3, 12);
});

it('counts an anticipation to the chord that it is a tone of (D2)', () => {
  // A is no tone of C7 and the third of F7.
  expect(stand([3.5, 1, 69])).toMatchObject({ tones: 1, lastEighth: 7 });
  // Too short to reach the change, and something follows before it.
  expect(stand([3.5, 0.25, 69], [3.75, 0.125, 67])).toMatchObject({ endsOnTone: true });
  expect(stand([3.5, 0.25, 69], [3.75, 0.125, 67]).tones).toBeCloseTo(1 / 3, 12);
});

it('is worth most after one that stands alike, and fits only where phrases are loose', () => {
  const in_ = stand([0, 1, 60], [1, 1, 64]);
  const out = stand([0, 1, 61], [1, 1, 63]);
  expect(standingScore(in_, in_)).toBeGreaterThan(standingScore(in_, out));
  expect(standingScore(out, out)).toBeCloseTo(standingScore(in_, in_), 12);
  expect(standingScore(out, in_, 1)).toBeGreaterThan(standingScore(out, out, 1));
  expect(looseness([in_, in_])).toBe(0);
  expect(looseness([out, out])).toBe(1);
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatKey } from '../../../../src/core/theory/key';
import { guessKey, proposeKeys } from '../../../../src/io/midi-in/key-found';

const QUARTER = 10_080;
const line = (pitches: readonly number[]) =>
  pitches.map((midi, i) => ({ at: i * QUARTER, end: (i + 1) * QUARTER, midi }));
const A_MINOR = [0, 2, 3, 5, 7, 8, 10];

describe('keys that are proposed', () => {
  it('are three, the guessed one first, and of each what speaks for it', () => {
    const keys = proposeKeys(line([69, 71, 72, 74, 76, 72, 71, 69]), []);
    expect(keys).toHaveLength(3);
    expect(formatKey(keys[0]!.key)).toBe('Am');
    // Counted by hand: all in the scale, A twice and E once of eight, and the end on A.
    expect(keys[0]).toMatchObject({ inScale: 1, home: 3 / 8, endsHome: true });
    expect(new Set(keys.map((k) => formatKey(k.key))).size).toBe(3);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 40, max: 88 }), { maxLength: 20 }), (pitches) => {
        const notes = line(pitches);
        expect(proposeKeys(notes, [])[0]!.key).toEqual(guessKey(notes, []));
      }),
    );
  });

  it('of a line of all notes of A minor have its relative major among them (common practice)', () => {
    const order = fc.shuffledSubarray([...A_MINOR, 0, 0, 7], { minLength: 10 });
    fc.assert(
      fc.property(order, (steps) => {
        const notes = line([...steps, 0].map((s) => 57 + s));
        const names = proposeKeys(notes, []).map((k) => formatKey(k.key));
        expect(names[0]).toBe('Am');
        expect(names).toContain('C');
      }),
    );
  });
});

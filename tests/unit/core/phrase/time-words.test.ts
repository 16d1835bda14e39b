import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { beatTicks } from '../../../../src/core/phrase/time';
import { beatPlace, lengthWords } from '../../../../src/core/phrase/time-words';
import type { Meter } from '../../../../src/core/phrase/types';

const QUARTER = 10_080;

// T2: compound metres count dotted beats; parts of a beat are called by note values (common practice).
describe('a place within a bar, as it is said', () => {
  test.each([
    [12, 8, 2, '2'],
    [12, 8, 2 + 1 / 3, '2, second eighth'],
    [12, 8, 2 + 2 / 3, '2, third eighth'],
    [12, 8, 2.5, '2, fourth 16th'],
    [6, 8, 1 + 1 / 6, '1, second 16th'],
    [12, 8, 2.25, '2, fourth 32nd'],
    [6, 16, 1 + 1 / 3, '1, second 16th'],
    [4, 4, 3.5, '3 and'],
    [4, 4, 2.25, '2, second 16th'],
    [4, 4, 2.75, '2, fourth 16th'],
    [4, 4, 2 + 1 / 3, '2, second triplet eighth'],
    [4, 4, 2 + 1 / 6, '2, second triplet 16th'],
    [4, 4, 1.4, '1, third quintuplet 16th'],
    [4, 4, 1 + 6 / 7, '1, seventh septuplet 16th'],
    [2, 2, 1.5, '1 and'],
    [2, 2, 1 + 2 / 3, '1, third triplet quarter'],
    [3, 8, 2.5, '2 and'],
    [4, 4, 2.9999999, '3'],
    [4, 4, 2.013, '2.01'],
  ] as const)('%i/%i, beat %d: %s', (beats, beatType, beat, said) => {
    expect(beatPlace(beat, { beats, beatType })).toBe(said);
  });
});

describe('a length, as it is said', () => {
  test.each([
    [4 * QUARTER, 'a whole note'],
    [8 * QUARTER, '2 whole notes'],
    [3 * QUARTER, 'a dotted half note'],
    [QUARTER, 'a quarter'],
    [1.5 * QUARTER, 'a dotted quarter'],
    [1.75 * QUARTER, 'a double-dotted quarter'],
    [QUARTER / 2, 'an eighth'],
    [QUARTER / 4, 'a 16th'],
    [QUARTER / 3, 'a triplet eighth'],
    [QUARTER / 5, 'a quintuplet 16th'],
    [QUARTER / 7, 'a septuplet 16th'],
    [2.5 * QUARTER, 'a half note and an eighth'],
    [9 * QUARTER, '2 whole notes and a quarter'],
    [QUARTER + QUARTER / 3, 'a triplet half note'],
    [11, 'less than 0.01 quarters'],
    [QUARTER + 7, 'about a quarter'],
    [0, '0 quarters'],
  ] as const)('%d ticks: %s', (ticks, said) => {
    expect(lengthWords(ticks)).toBe(said);
  });
});

/** The value that words name, in quarters: read back by another way than they were made. */
function quartersOf(words: string): number {
  const values = ['whole note', 'half note', 'quarter', 'eighth', '16th', '32nd', '64th', '128th'];
  const tuplets: Readonly<Record<string, number>> = {
    triplet: 2 / 3,
    quintuplet: 4 / 5,
    septuplet: 4 / 7,
    nonuplet: 8 / 9,
  };
  return words
    .split(/, | and /u)
    .map((part) => {
      const many = /^(\d+) whole notes$/u.exec(part);
      if (many !== null) return 4 * Number(many[1]);
      const i = values.findIndex((v) => part.endsWith(v));
      const dots = part.includes('double-dotted') ? 1.75 : part.includes('dotted') ? 1.5 : 1;
      const tuplet = Object.entries(tuplets).find(([name]) => part.includes(name))?.[1] ?? 1;
      return (4 / 2 ** i) * dots * tuplet;
    })
    .reduce((sum, q) => sum + q, 0);
}

describe('what is said of time', () => {
  it('names the length that it is told of', () => {
    const length = fc
      .tuple(fc.integer({ min: 1, max: 64 }), fc.constantFrom(1, 2, 4, 8, 3, 5, 7, 9))
      .map(([n, parts]) => (n * QUARTER) / parts);
    fc.assert(
      fc.property(length, (ticks) => {
        const words = lengthWords(ticks);
        fc.pre(!/ quarters$|^about /u.test(words));
        expect(quartersOf(words)).toBeCloseTo(ticks / QUARTER, 9);
      }),
    );
  });

  it('has a different name for every place of a bar', () => {
    const meters: readonly Meter[] = [
      { beats: 4, beatType: 4 },
      { beats: 12, beatType: 8 },
      { beats: 2, beatType: 2 },
      { beats: 5, beatType: 8 },
    ];
    for (const meter of meters) {
      const onsets = [2, 3, 4, 5, 6, 7, 8, 9, 12].flatMap((n) =>
        Array.from({ length: n }, (_, k) => (k * beatTicks(meter)) / n),
      );
      const places = new Set(onsets.map((t) => Math.round(t)));
      const names = new Set([...places].map((t) => beatPlace(1 + t / beatTicks(meter), meter)));
      expect(names.size).toBe(places.size);
    }
  });
});

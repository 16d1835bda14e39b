import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import { readQuick } from '../../src/io/quick/read';
import { QUICK_SIGNS } from '../../src/io/quick/signs';
import { writeQuick } from '../../src/io/quick/write';
import { arbPhrase } from '../support/arbitrary';
import { musicalFields } from '../support/musical-fields';
import { readSamples } from '../support/samples';

const ORIGIN = { id: 'quick', now: '2026-11-25T12:00:00Z' };

/** What quick text says: everything musical, and of what is said about a phrase its title. */
function sayable(p: Phrase): unknown {
  const { title, created, modified } = p.meta;
  return musicalFields({ ...p, meta: { title, tags: [], created, modified } });
}

function roundTrip(p: Phrase): void {
  const { text } = writeQuick(p);
  const read = readQuick(text, ORIGIN);
  if (!read.ok) throw new Error(`${JSON.stringify(read.problems[0])}\n${text}`);
  expect(sayable(read.value), text).toEqual(sayable(p));
}

describe('quick text', () => {
  it.each(readSamples())('gives back $name', ({ phrase }) => roundTrip(phrase));

  it('gives back generated phrases', () => {
    fc.assert(fc.property(arbPhrase(), roundTrip), { numRuns: 400, seed: 20_261_125 });
  });

  it.each(QUICK_SIGNS)('explains $sign by an example that is read', ({ example }) => {
    const read = readQuick(example, ORIGIN);
    expect(read.ok ? [] : read.problems).toEqual([]);
  });

  it('never throws, and tells line and column of what it cannot read', () => {
    const words = fc.constantFrom(
      'q',
      '3:5',
      '7',
      '|',
      '{A7}',
      '3(',
      ')',
      '8b10',
      'r',
      '!',
      ';',
      '=b7',
      '2nd:',
      '"',
      '[',
      'x',
      '9:9',
      '+',
      ':|',
      '\n',
      'é',
    );
    const text = fc.oneof(
      fc.string({ maxLength: 40 }),
      fc.array(words, { maxLength: 20 }).map((w) => w.join(' ')),
      fc.array(words, { maxLength: 20 }).map((w) => w.join('')),
    );
    fc.assert(
      fc.property(text, (t) => {
        const read = readQuick(t, ORIGIN);
        if (read.ok) return;
        for (const p of read.problems) {
          if (p.line === undefined) continue;
          const line = t.split('\n')[p.line - 1];
          expect(line).toBeDefined();
          expect(p.column).toBeLessThanOrEqual(line!.length + 1);
        }
      }),
      { numRuns: 2_000, seed: 7 },
    );
  });
});

import { expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import type { Mark, Phrase } from '../../../../src/core/phrase/types';
import { TICKS_PER_QUARTER as Q } from '../../../../src/core/phrase/types';
import { proposeSolos } from '../../../../src/core/solo/propose';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';

const BAR = 4 * Q;
const laid = layForm(standardForm('one-chord')!, { letter: 'A', alter: 0 });
if (!laid.ok) throw new Error('one-chord');
const form = laid.value;

const dynamic = (onset: number, value: 'pp' | 'mf' | 'f') =>
  ({ kind: 'dynamic', onset, value }) as const;
const one = (id: string, line: string, marks: readonly Mark[], pickup = 0): Phrase => ({
  ...build(line, { key: 'A', chords: 'A7', bars: 1, pickup, id }),
  marks,
});

/** The marks of a chorus with these in its first bars. */
function marksOf(...phrases: readonly Phrase[]) {
  const pins = phrases.map((_, index) => ({ start: index, index, octaves: 0 }));
  const made = proposeSolos({ form, phrases, options: { fill: false, pins } }, () => ({
    id: 'solo',
    tempo: form.form.tempo,
    meta: phrases[0]!.meta,
  }));
  if (!made.ok) throw new Error(made.problems[0]!.message);
  const [{ phrase }] = made.value as [(typeof made.value)[number]];
  expect(checkPhrase(phrase)).toEqual([]);
  return phrase.marks;
}

it('what a phrase says of loudness does not go on in the next, which says nothing of it', () => {
  const fades = one('fades', 'q 2/5 2/5 2/5 2/5', [dynamic(0, 'f'), dynamic(3 * Q, 'pp')]);
  const plain = one('plain', 'q - 2/5 2/5 2/5', []);
  const loud = one('loud', 'q 2/5 2/5 2/5 2/5', [dynamic(0, 'f')]);
  expect(marksOf(fades, plain, plain)).toEqual([
    ...[dynamic(0, 'f'), dynamic(3 * Q, 'pp')],
    // Where its first note is: the rest before it is silent.
    dynamic(BAR + Q, 'mf'),
  ]);
  expect(marksOf(fades, loud)).toEqual([
    ...[dynamic(0, 'f'), dynamic(3 * Q, 'pp')],
    dynamic(BAR, 'f'),
  ]);
  expect(marksOf(plain, plain)).toEqual([]);
  const late = one('late', 'q 2/5 2/5 2/5 2/5', [dynamic(2 * Q, 'f')]);
  expect(marksOf(loud, late)).toEqual([
    ...[dynamic(0, 'f'), dynamic(BAR, 'mf')],
    dynamic(BAR + 2 * Q, 'f'),
  ]);
});

it('a mark goes with its notes where the next phrase cuts them off', () => {
  const fades = one('fades', 'q 2/5 2/5 2/5 2/5', [dynamic(0, 'f'), dynamic(3 * Q, 'pp')]);
  const led = one('led', 'q 3/6 | q 3/5 3/5 3/5 3/5', [], Q);
  expect(marksOf(fades, led)).toEqual([dynamic(0, 'f'), dynamic(3 * Q, 'mf')]);
});

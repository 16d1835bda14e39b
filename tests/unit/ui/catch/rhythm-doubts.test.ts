import { expect, it } from 'vitest';
import { notesOf } from '../../../../src/core/phrase/walk';
import type { NoteDoubt } from '../../../../src/io/heard/phrases';
import { otherWords } from '../../../../src/ui/catch/rhythm-doubts';
import { build } from '../../../support/build';

const PHRASE = build('q 3/5 e 2/5 e 1/5 h 2/8 | q 3/7 q 2/5 h -');
const QUARTER = 10_080;
const said = (note: number, doubt: Pick<NoteDoubt, 'of' | 'other'>) =>
  otherWords({ ...doubt, note: notesOf(PHRASE)[note]!.note.id, key: 1, taken: false }, PHRASE);

it('says where a note begins instead as the score counts it', () => {
  expect(said(1, { of: 'place', other: QUARTER / 2 })).toBe('later, on beat 2 and');
  expect(said(2, { of: 'place', other: QUARTER / 6 })).toBe(
    'later, on beat 2, third triplet eighth',
  );
  expect(said(2, { of: 'place', other: QUARTER / 10 })).toBe(
    'later, on beat 2, fourth quintuplet 16th',
  );
  expect(said(4, { of: 'place', other: -QUARTER / 4 })).toBe(
    'earlier, in bar 1, beat 4, fourth 16th',
  );
  // No beat is counted before the phrase begins.
  expect(said(0, { of: 'place', other: -QUARTER / 4 })).toBe('a 16th earlier');
});

it('says how long a note is instead by its value', () => {
  expect(said(0, { of: 'length', other: 0.75 * QUARTER })).toBe('a dotted eighth long');
  expect(said(0, { of: 'length', other: QUARTER / 3 })).toBe('a triplet eighth long');
});

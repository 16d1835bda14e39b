import { expect, it } from 'vitest';
import { fieldsOf, laneProblem, readKey, saidOf } from '../../../../src/ui/catch/said';

const FIELDS = fieldsOf({ lane: '', key: '' });

it('leaves out what cannot be read, so that what was played is kept all the same', () => {
  const said = { ...FIELDS, lane: 'I7 | what', key: 'H', tempo: 'quick' };
  expect(saidOf(said)).toEqual({ lane: '', key: '' });
  expect(saidOf({ ...said, lane: ' I7 | IV7 ', key: ' Bb blues ' })).toEqual({
    lane: 'I7 | IV7',
    key: 'Bb blues',
  });
});

it('says which bar of the chords cannot be read', () => {
  expect(laneProblem({ ...FIELDS, lane: 'I7 | what' })).toMatchObject({ bar: 2 });
  // Also where the key is none that it could count from.
  expect(laneProblem({ ...FIELDS, lane: 'C7 | F7', key: 'H' })).toBeNull();
  expect(laneProblem(FIELDS)).toBeNull();
});

it('says what a key is', () => {
  expect(readKey('')).toEqual({ ok: true, value: null });
  expect(readKey('H')).toMatchObject({ problems: [{ message: "'H' is no key" }] });
  expect(readKey('F#m')).toMatchObject({ value: { mode: 'minor' } });
});

import { describe, expect, test } from 'vitest';
import { beatPlace } from '../../../src/ui/shared/words';
import { whatIsMissing } from '../../../src/ui/write/frame-fields';

// T2: compound metres count dotted beats; their thirds are called by note values (common practice).
describe('a place within a bar, as it is said', () => {
  test.each([
    [12, 8, 2, '2'],
    [12, 8, 2 + 1 / 3, '2, second eighth'],
    [12, 8, 2 + 2 / 3, '2, third eighth'],
    [12, 8, 2.5, '2, fourth sixteenth'],
    [6, 8, 1 + 1 / 6, '1, second sixteenth'],
    [12, 8, 2.25, '2.25'],
    [4, 4, 2 + 1 / 3, '2.33'],
    [3, 8, 2.5, '2.5'],
  ] as const)('%i/%i, beat %d: %s', (beats, beatType, beat, said) => {
    expect(beatPlace(beat, { beats, beatType })).toBe(said);
  });
});

test('what to do is said where Enter is pressed with nothing said', () => {
  const number = { kind: 'number', label: 'tempo', least: 10, most: 400, step: 1 } as const;
  expect(whatIsMissing(number)).toBe('there is no number yet; type one from 10 to 400');
});

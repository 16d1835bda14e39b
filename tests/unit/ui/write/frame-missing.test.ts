import { expect, test } from 'vitest';
import { whatIsMissing } from '../../../../src/ui/write/frame-fields';

test('what to do is said where Enter is pressed with nothing said', () => {
  const number = { kind: 'number', label: 'tempo', least: 10, most: 400, step: 1 } as const;
  expect(whatIsMissing(number)).toBe('there is no number yet; type one from 10 to 400');
});

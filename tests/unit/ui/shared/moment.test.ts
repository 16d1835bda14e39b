import { expect, it } from 'vitest';
import { momentName, momentNames } from '../../../../src/ui/shared/moment';

const at = (time: string) => Date.parse(`2026-11-27T${time}`);

it('moments of one list are told apart, and have no more in their names than that takes', () => {
  const times = [at('14:07:30'), at('14:05:50'), at('14:05:09.700'), at('14:05:09.200')];
  const [alone, later, second, first] = momentNames([...times, Number.NaN]);
  expect(alone).toBe(momentName(times[0]!));
  expect(alone).toBe('27 November 2026 at 14:07');
  expect(later).toBe('27 November 2026 at 14:05:50');
  expect(second).toBe('27 November 2026 at 14:05:09, no. 2');
  expect(first).toBe('27 November 2026 at 14:05:09, no. 1');
  expect(momentNames([Number.NaN])).toEqual(['an unknown day']);
});

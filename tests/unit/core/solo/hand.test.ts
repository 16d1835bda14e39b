import { expect, it } from 'vitest';
import { handIn, hurriesBetween } from '../../../../src/core/solo/hand';
import { build } from '../../../support/build';

// An eighth lasts 0.15 s at 200 quarters a minute, half a second at 60.
const fast = { bpm: 200, unit: 'quarter' } as const;
const slow = { bpm: 60, unit: 'quarter' } as const;

it('a hand is in a hurry where it goes far in no time, in a phrase and between two', () => {
  const leaps = build('e 3/2 3/12 3/14 q 3/2');
  expect(handIn(leaps, fast).hurries).toBe(2);
  expect(handIn(leaps, slow).hurries).toBe(0);
  expect(handIn(build('e 3/2 3/5 3/7 q 3/5'), fast).hurries).toBe(0);

  const [low, high] = [build('e 3/2 3/4'), build('e 3/14 3/12')].map((p) => handIn(p, fast));
  const eighth = 5_040;
  expect(hurriesBetween(low!, high!, 2 * eighth, fast)).toBe(true);
  expect(hurriesBetween(low!, high!, 2 * eighth, slow)).toBe(false);
  // After a rest it has time.
  expect(hurriesBetween(low!, high!, 4 * eighth, fast)).toBe(false);
  expect(hurriesBetween(low!, low!, 2 * eighth, fast)).toBe(false);
});

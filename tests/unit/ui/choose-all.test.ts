import { expect, it } from 'vitest';
import { areChosen, chooseAll } from '../../../src/ui/shared/words';

it('the button that chooses all says how many in good grammar', () => {
  expect([1, 2, 3, 4000].map((n) => chooseAll(n, 'found'))).toEqual([
    'Choose the one found',
    'Choose both found',
    'Choose all 3 found',
    'Choose all 4000 found',
  ]);
  expect([1, 2, 3].map((n) => areChosen(n, 'found'))).toEqual([
    'The one found is chosen',
    'Both found are chosen',
    'All 3 found are chosen',
  ]);
});

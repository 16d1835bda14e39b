import { expect, it } from 'vitest';
import { fail, ok } from '../../../../../src/core/result';
import {
  answerHeard,
  beginningHeard,
  NOTHING_HEARD,
} from '../../../../../src/ui/frame/search/heard';
import { listOfIds } from '../../../../../src/ui/frame/search/id-list';

const found = (...ids: string[]) => ({
  ids: listOfIds(ids),
  instead: [],
  asked: '',
  bestFirst: false,
  named: null,
});

it('leaves a whole answer where the same is asked of a library that changed, and begins another at once', () => {
  const first = beginningHeard(NOTHING_HEARD, 'a', found('1'));
  expect([first.answer?.ids.length, first.partly]).toEqual([1, true]);
  const whole = answerHeard(first, 'a', ok(found('1', '2', '3')));
  const anew = beginningHeard(whole, 'a', found('4'));
  expect([anew.answer?.ids.length, anew.partly]).toEqual([3, false]);
  const other = beginningHeard(whole, 'b', found('5'));
  expect([other.answer?.ids.all(), other.partly]).toEqual([['5'], true]);
  // Back to the first before the other was whole.
  expect(beginningHeard(other, 'a', found('4')).answer).toBe(whole.whole);
  // What is wrong leaves what was whole, and says so.
  const wrong = answerHeard(other, 'c', fail({ message: 'no' }));
  expect([wrong.answer, wrong.partly, wrong.problem?.message]).toEqual([whole.whole, false, 'no']);
});

import { afterEach, expect, it, vi } from 'vitest';
import { nowAndThen } from '../../../../src/ui/frame/folder/breathing';

afterEach(() => vi.useRealTimers());

it('does something else now and then while a long look breathes, never twice at once', async () => {
  vi.useFakeTimers({ toFake: ['performance'] });
  let breaths = 0;
  let begun = 0;
  let done: () => void = () => undefined;
  const work = () => {
    begun += 1;
    return new Promise<void>((resolve) => {
      done = resolve;
    });
  };
  const breathe = nowAndThen(1_000, work, () => {
    breaths += 1;
  });
  await breathe();
  expect([breaths, begun]).toEqual([1, 0]);
  vi.advanceTimersByTime(1_000);
  const first = breathe();
  vi.advanceTimersByTime(5_000);
  // Another part of the look breathes meanwhile.
  await breathe();
  expect([breaths, begun]).toEqual([2, 1]);
  done();
  await first;
  await breathe();
  expect([breaths, begun]).toEqual([3, 1]);
  vi.advanceTimersByTime(1_000);
  const second = breathe();
  expect(begun).toBe(2);
  done();
  await second;
});

import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { orderCardLine } from '../../../../src/ui/library/card-lines';
import { focusOnce } from '../../../../src/ui/library/focus-once';
import { firstScore } from '../../../../src/ui/score/first-score';
import { atMost } from '../../../../src/ui/shared/at-most';
import { phraseNamed } from '../../../support/phrase-named';

/* What does not come, or cannot be drawn, holds nothing else up. */

const bad = phraseNamed('bad', 'Bad');
vi.mock('../../../../src/ui/score/engraver', () => ({
  loadEngraver: async () => ({
    engrave: (p: { id: string }) => {
      if (p.id === 'bad') throw new Error('cannot be drawn');
      return [{ svg: `<svg>${p.id}</svg>` }];
    },
    flat: (svg: string) => svg,
  }),
}));

beforeEach(() => void vi.useFakeTimers());
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

it('one card that cannot be drawn says so, and the others are drawn', async () => {
  vi.stubGlobal('requestAnimationFrame', (run: () => void) => setTimeout(run));
  const seen: string[] = [];
  for (const p of [phraseNamed('a', 'A'), bad, phraseNamed('b', 'B')]) {
    orderCardLine(
      p,
      (svg) => seen.push(svg),
      () => seen.push(`${p.id} failed`),
    );
  }
  await vi.runAllTimersAsync();
  expect(seen).toEqual(['<svg>a</svg>', 'bad failed', '<svg>b</svg>']);
});

it('the field is gone to when it comes, and comes at once', async () => {
  const page = new EventTarget();
  vi.stubGlobal('window', page);
  let released = false;
  void firstScore.then(() => {
    released = true;
  });
  let field: { focus: () => void } | null = null;
  const focus = vi.fn();
  vi.stubGlobal('document', { getElementById: () => field });
  focusOnce('find');
  await vi.advanceTimersByTimeAsync(400);
  expect(released).toBe(true);
  field = { focus };
  await vi.advanceTimersByTimeAsync(100);
  expect(focus).toHaveBeenCalledTimes(1);
  // Whoever does something else meanwhile is not called back, however late the field comes.
  field = null;
  focusOnce('find');
  page.dispatchEvent(new Event('pointerdown'));
  field = { focus };
  await vi.advanceTimersByTimeAsync(9_000);
  expect(focus).toHaveBeenCalledTimes(1);
  // What never comes is given up.
  field = null;
  focusOnce('find');
  await vi.advanceTimersByTimeAsync(20_000);
  expect(vi.getTimerCount()).toBe(0);
});

it('what hangs is waited for so long only', async () => {
  const ended = vi.fn();
  void atMost(new Promise(() => {}), 5_000).then(ended);
  void atMost(Promise.reject(new Error('no network')), 5_000).then(ended);
  await vi.advanceTimersByTimeAsync(10);
  expect(ended).toHaveBeenCalledTimes(1);
  await vi.advanceTimersByTimeAsync(5_000);
  expect(ended).toHaveBeenCalledTimes(2);
});

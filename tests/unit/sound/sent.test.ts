import { expect, it } from 'vitest';
import { type Course, courseOf } from '../../../src/core/practice/course';
import { PLAIN, type Practice } from '../../../src/core/practice/types';
import { nextRound, notesHeard, Sent } from '../../../src/sound/player/sent';
import { build } from '../../support/build';

/** Four quarters at 60 beats a minute: a step of 4 s. */
const bar = build('q 3/5 3/7 3/5 3/4 |', {
  tempo: { bpm: 60, unit: 'quarter' },
  key: 'C',
  chords: 'C',
});

function sent(practice: Partial<Practice> = {}) {
  const made = courseOf(bar, { ...PLAIN, ...practice });
  if (!made.ok) throw new Error(made.problems[0]?.message);
  const course: Course = made.value;
  return new Sent(course, { step: course.first, start: 10 });
}

it('sends each step once, before it begins, one behind the other', () => {
  const s = sent({ endless: true });
  expect(s.next(14)).toEqual([]);
  expect(s.next(19).map((p) => p.start)).toEqual([14, 18]);
  expect(s.next(19)).toEqual([]);
});

it('knows what is heard and when all is over', () => {
  const s = sent();
  expect(s.next(100)).toEqual([]);
  // Before the first is heard it counts as heard, not begun.
  expect(s.at(9).time).toBe(-1);
  expect(notesHeard(s.at(9))).toEqual([]);
  const [first, second] = [notesHeard(s.at(10.5)), notesHeard(s.at(11.5))];
  expect([first.length, second.length]).toEqual([1, 1]);
  expect(first).not.toEqual(second);
  expect([13.9, 14.04, 14.06].map((t) => s.isEnd(s.at(t)))).toEqual([false, false, true]);
});

it('forgets what is over, and a good round counts for the next one alone', () => {
  const stepUp = { by: 10, to: 120, after: 'a good round' } as const;
  const s = sent({ endless: true, speed: 100, stepUp });
  s.good = true;
  const [second] = s.next(15);
  expect(second!.step.speed).toBe(110);
  expect(s.good).toBe(false);
  s.forgetBefore(second!);
  expect(s.at(10).at).toBe(second);
});

it('finds the next round behind a count-in and an answer, and none at the end', () => {
  const made = courseOf(bar, {
    ...PLAIN,
    countIn: 1,
    answer: true,
    cycle: { kind: 'list', text: 'I V' },
  });
  if (!made.ok) throw new Error(made.problems[0]?.message);
  const { first, after } = made.value;
  expect(first.kind).toBe('count-in');
  const second = nextRound(made.value, first)!;
  expect([second.kind, second.round]).toEqual(['play', 1]);
  expect(nextRound(made.value, after(first, false)!)?.round).toBe(1);
  expect(nextRound(made.value, second)).toBe(null);
});

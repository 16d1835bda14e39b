import { expect, it } from 'vitest';
import { addItem, lessonOf } from '../../../../src/core/lesson/edit';
import type { Lesson } from '../../../../src/core/lesson/types';
import { exportMusic } from '../../../../src/ui/lesson/export-music';
import { build } from '../../../support/build';

const birth = { id: 'l', now: '2026-11-27T08:00:00Z', title: 'Quay Steps' };

function exported(lesson: Lesson) {
  const told: unknown[] = [];
  const trouble = (...said: unknown[]) => told.push(['trouble', ...said]);
  exportMusic(lesson, { trouble }, (music, how) => told.push([music.map((p) => p.id), how]));
  return told;
}

it('says where there is no music, and with music what of it could not be made', () => {
  const text = { kind: 'text', id: 'i1', text: 'Sing it first.' } as const;
  expect(exported(addItem(lessonOf([], birth), text, 0))).toEqual([
    ['trouble', 'There is no music in the lesson that could be exported.', []],
  ]);
  const short = build('w 3/5', { id: 'short', title: 'Low Step' });
  const gaps = { kind: 'gaps', id: 'i1', phrase: 'short', every: 3 } as const;
  const why = 'Low Step”: the phrase is too short for a gap';
  const alone = addItem(lessonOf([], birth), gaps, 0, short);
  expect(exported(alone)).toEqual([['trouble', expect.any(String), [`“${why}.`]]]);
  const long = build('q 3/5 3/7 2/5 2/8', { id: 'long' });
  expect(exported(addItem(lessonOf([long], birth), { ...gaps, id: 'i2' }, 1, short))).toEqual([
    [['long'], { along: new Map(), left: [`“${why}`], inOrder: 'quay-steps' }],
  ]);
});

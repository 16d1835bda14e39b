import { expect, it } from 'vitest';
import { addItem, lessonOf } from '../../../../src/core/lesson/edit';
import { musicOf } from '../../../../src/core/lesson/music';
import { build } from '../../../support/build';

const NOW = '2026-11-27T08:00:00Z';

it('the comping of a solo goes out with it where an exercise about it comes first', () => {
  const solo = build('q 3/5 3/7 2/5 2/8', { id: 'solo' });
  const comping = build('q 3/5+2/5 - 3/5+2/5 -', { id: 'comping' });
  const empty = lessonOf([], { id: 'l', now: NOW, title: 'Quay' });
  const gaps = { kind: 'gaps', id: 'i1', phrase: 'solo', every: 3 } as const;
  const own = { phrase: 'comping', printed: false };
  const last = { kind: 'solo', id: 'i2', phrase: 'solo', parts: [], comping: own } as const;
  const lesson = addItem(addItem(empty, gaps, 0, solo), last, 1, comping);
  const { music, along } = musicOf(lesson);
  expect(music.map((p) => p.id)).toEqual(['solo']);
  expect(along.get('solo')?.id).toBe('comping');
});

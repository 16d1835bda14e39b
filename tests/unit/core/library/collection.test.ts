import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  movedTo,
  newCollection,
  renamed,
  withoutPhrases,
  withPhrases,
} from '../../../../src/core/library/collection';
import { daysBetween, daysOfUse, newUse, notYetUsed } from '../../../../src/core/library/use';

const made = (ids: readonly string[]) =>
  newCollection(ids, { id: 'c', now: '2026-11-27T08:00:00Z', title: 'Week 3' });

describe('a collection', () => {
  it('names each phrase once, whatever is done to it, and loses none that stays', () => {
    const ids = fc.array(fc.constantFrom<string>('a', 'b', 'c', 'd', 'e'), { maxLength: 8 });
    fc.assert(
      fc.property(ids, ids, ids, fc.integer({ min: -2, max: 9 }), (first, more, gone, to) => {
        const all = withPhrases(made(first), more);
        expect(new Set(all.phrases)).toEqual(new Set([...first, ...more]));
        expect(all.phrases.slice(0, new Set(first).size)).toEqual([...new Set(first)]);
        const left = withoutPhrases(all, gone);
        expect(left.phrases).toEqual(all.phrases.filter((id) => !gone.includes(id)));
        for (const id of left.phrases) {
          const moved = movedTo(left, id, to);
          expect([...moved.phrases].sort()).toEqual([...left.phrases].sort());
          expect(moved.phrases.indexOf(id)).toBe(
            Math.max(0, Math.min(left.phrases.length - 1, to)),
          );
          const others = (c: typeof moved) => c.phrases.filter((p) => p !== id);
          expect(others(moved)).toEqual(others(left));
        }
      }),
      { numRuns: 60 },
    );
  });

  it('stays the same object where nothing changes', () => {
    const c = made(['a', 'b']);
    expect(withPhrases(c, ['b', 'a'])).toBe(c);
    expect(withoutPhrases(c, ['x'])).toBe(c);
    expect(movedTo(c, 'x', 0)).toBe(c);
    expect(movedTo(c, 'b', 9)).toBe(c);
    expect(renamed(renamed(c, { notes: 'Slowly' }), { notes: '' })).toEqual(c);
  });
});

describe('days of use', () => {
  it('are the union of all that is written, each day once', () => {
    const use = (id: string, day: string, ...phrases: string[]) =>
      newUse(phrases, { id, now: '2026-11-27T08:00:00Z', day });
    const days = daysOfUse([
      use('1', '2026-11-27', 'a', 'b'),
      use('2', '2026-11-20', 'a'),
      use('3', '2026-11-27', 'a'),
    ]);
    expect(days.get('a')).toEqual(['2026-11-20', '2026-11-27']);
    expect(days.get('b')).toEqual(['2026-11-27']);
    expect(notYetUsed(['a', 'b', 'c'], '2026-11-20', days)).toEqual(['b', 'c']);
  });

  it('are counted over a change of clocks and a leap day', () => {
    expect(daysBetween('2028-02-28', '2028-03-01')).toBe(2);
    expect(daysBetween('2026-03-28', '2026-03-30')).toBe(2);
    expect(daysBetween('2026-11-27', '2026-11-26')).toBe(-1);
  });
});

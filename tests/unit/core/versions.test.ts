import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isWorthKeeping, MOST_VERSIONS, versionsToDrop } from '../../../src/core/library/thinning';
import type { VersionMark } from '../../../src/core/library/versions';

const DAY = 24 * 60 * 60 * 1000;
const NOW = Date.UTC(2026, 10, 27, 12);

const mark = fc.record<VersionMark>({
  kept: fc.integer({ min: NOW - 200 * DAY, max: NOW }),
  made: fc.integer({ min: NOW - 201 * DAY, max: NOW }),
  why: fc.constantFrom('edit', 'edit', 'edit', 'restore', 'merge'),
});
const marks = fc.uniqueArray(mark, { maxLength: 260, selector: (m) => m.kept });

const left = (all: readonly VersionMark[], now: number): readonly VersionMark[] => {
  const drop = new Set(versionsToDrop(all, now));
  return all.filter((m) => !drop.has(m));
};
const edits = (all: readonly VersionMark[]) => all.filter((m) => m.why === 'edit');
const aged = (all: readonly VersionMark[], from: number, to: number) =>
  all.filter((m) => NOW - m.kept >= from && NOW - m.kept < to);

describe('versionsToDrop', () => {
  it('keeps all of a day, one a day of a month, one a week of the rest, and what came before a restore', () => {
    fc.assert(
      fc.property(marks, (all) => {
        const kept = left(all, NOW);
        expect(kept.length).toBeLessThanOrEqual(MOST_VERSIONS);
        expect(left(kept, NOW)).toEqual(kept);
        if (all.length > MOST_VERSIONS) return;
        expect(kept).toEqual(expect.arrayContaining(aged(all, 0, DAY)));
        expect(kept).toEqual(expect.arrayContaining(all.filter((m) => m.why !== 'edit')));
        const days = (list: readonly VersionMark[]) => list.map((m) => Math.floor(m.kept / DAY));
        const daily = edits(aged(kept, DAY, 30 * DAY));
        expect(new Set(days(daily)).size).toBe(daily.length);
        expect(new Set(days(daily))).toEqual(new Set(days(edits(aged(all, DAY, 30 * DAY)))));
        // By the calendar: the Monday that a day belongs to.
        const weeks = (list: readonly VersionMark[]) =>
          list.map(({ kept: at }) => {
            const day = new Date(at);
            const back = (day.getUTCDay() + 6) % 7;
            return Date.UTC(day.getUTCFullYear(), day.getUTCMonth(), day.getUTCDate() - back);
          });
        const weekly = edits(aged(kept, 30 * DAY, 999 * DAY));
        expect(new Set(weeks(weekly)).size).toBe(weekly.length);
        expect(new Set(weeks(weekly))).toEqual(
          new Set(weeks(edits(aged(all, 30 * DAY, 999 * DAY)))),
        );
      }),
      { numRuns: 40 },
    );
  });

  it('keeps the last of a day, and lets edits go first where there are too many', () => {
    const day = (hour: number): VersionMark => {
      const kept = Date.UTC(2026, 10, 20, hour);
      return { kept, made: kept - 1, why: 'edit' };
    };
    expect(versionsToDrop([day(9), day(17), day(12)], NOW)).toEqual([day(12), day(9)]);
    const many = Array.from({ length: MOST_VERSIONS + 2 }, (_, i): VersionMark => {
      return { kept: NOW - i, made: NOW - i, why: i < MOST_VERSIONS ? 'edit' : 'restore' };
    });
    expect(versionsToDrop(many, NOW)).toEqual([many[MOST_VERSIONS - 1], many[MOST_VERSIONS - 2]]);
  });
});

describe('isWorthKeeping', () => {
  it('is what had stood ten minutes, or follows another that long, or comes before a restore', () => {
    const m = (kept: number, made: number, why: VersionMark['why'] = 'edit') => ({
      kept,
      made,
      why,
    });
    const minutes = (n: number) => NOW + n * 60_000;
    expect(isWorthKeeping(m(minutes(0), minutes(0)), null)).toBe(true);
    expect(isWorthKeeping(m(minutes(9), minutes(0)), minutes(0))).toBe(false);
    expect(isWorthKeeping(m(minutes(12), minutes(2)), minutes(11))).toBe(true);
    expect(isWorthKeeping(m(minutes(12), minutes(11)), minutes(2))).toBe(true);
    expect(isWorthKeeping(m(minutes(1), minutes(1), 'restore'), minutes(1))).toBe(true);
  });
});

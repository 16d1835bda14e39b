import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { daysLater } from '../../src/core/plan/calendar';
import { isDue, LONGEST_GAP, nextStep, standings } from '../../src/core/plan/due';
import { newPlan, newTurn } from '../../src/core/plan/edit';
import { planItems } from '../../src/core/plan/items';
import { mixed, sittingOf } from '../../src/core/plan/sitting';
import type { Day, Plan, Turn, Went } from '../../src/core/plan/types';
import { WENT } from '../../src/core/plan/types';
import { Dice } from '../../src/core/vary/dice';
import { lessonOfEveryKind } from '../support/lesson';
import { readSamples } from '../support/samples';

/* The law of practice that `src/core/plan/README.md` writes down; all of it our own. */

const samples = readSamples().map((s) => s.phrase);
const lesson = lessonOfEveryKind([samples[0]!, samples[2]!]);
const items = planItems(lesson);
const DAY: Day = '2026-11-27';

const arbPlan = fc
  .record({
    seed: fc.nat(1_000),
    minutes: fc.integer({ min: 3, max: 40 }),
    fresh: fc.integer({ min: 1, max: 4 }),
    from: fc.constantFrom(50, 60, 100),
  })
  .map(({ seed, minutes, fresh, from }): Plan => {
    const now = '2026-11-27T08:00:00Z';
    const plan = newPlan(lesson, { id: 'plan', now, day: DAY, seed });
    return { ...plan, minutes, fresh, tempo: { from, by: 20, to: 100 } };
  });

let made = 0;
const turnOf = (plan: Plan, key: string, day: Day, went: Went): Turn => {
  const id = `t${made++}`;
  const step = { speed: 60, goal: null };
  const now = `${day}T10:00:00Z`;
  return newTurn(plan, { item: key, title: key, step, went }, { id, now, day });
};

/** Practises day after day, with days left out, and gives all turns. */
function practised(plan: Plan, days: readonly { skip: number; went: readonly Went[] }[]) {
  let today = DAY;
  const log: Turn[] = [];
  const sittings: { today: Day; before: readonly Turn[]; keys: readonly string[] }[] = [];
  for (const { skip, went } of days) {
    today = daysLater(today, skip);
    const before = [...log];
    const keys: string[] = [];
    for (let i = 0; ; i++) {
      const { next } = sittingOf(plan, items, log, today);
      if (next === null) break;
      keys.push(next.item.key);
      log.push(turnOf(plan, next.item.key, today, went[i % went.length]!));
    }
    sittings.push({ today, before, keys });
  }
  return { log, today, sittings };
}

const arbWent = fc.array(fc.constantFrom(...WENT), { minLength: 1, maxLength: 5 });
const arbDays = fc.array(fc.record({ skip: fc.integer({ min: 1, max: 5 }), went: arbWent }), {
  minLength: 1,
  maxLength: 12,
});

describe('a plan', () => {
  it('asks for nothing before it is due, and what waited longest first', () => {
    fc.assert(
      fc.property(arbPlan, arbDays, (plan, days) => {
        for (const { today, before, keys } of practised(plan, days).sittings) {
          const all = standings(plan, items, before, today);
          const due = all.filter((s) => isDue(s, today));
          const asked = new Set(keys);
          expect(due.map((s) => s.item.key)).toEqual(expect.arrayContaining([...asked]));
          const waits = due.filter((s) => !asked.has(s.item.key)).map((s) => s.due);
          const latest = due
            .filter((s) => asked.has(s.item.key))
            .map((s) => s.due)
            .sort()
            .at(-1);
          for (const day of waits) expect(day >= latest!).toBe(true);
          // Something is done on a day on which something is due.
          expect(asked.size > 0).toBe(due.length > 0);
        }
      }),
      { numRuns: 12 },
    );
  });

  it('comes to every item, however short its days are', () => {
    fc.assert(
      fc.property(arbPlan, arbWent, (plan, went) => {
        const days = Array.from({ length: 60 }, () => ({ skip: 1, went }));
        const { log } = practised({ ...plan, minutes: 3 }, days);
        const known = new Set(log.map((t) => t.item));
        expect([...known].sort()).toEqual(items.map((i) => i.key).sort());
      }),
      { numRuns: 4 },
    );
  });

  it('leaves 1 to 32 days between, and its log means the same in any order, however often it is joined', () => {
    fc.assert(
      fc.property(arbPlan, arbDays, fc.nat(), (plan, days, seed) => {
        const { log, today } = practised(plan, days);
        const [a, b] = [log.filter((_, i) => i % 2 === 0), log.filter((_, i) => i % 3 > 0)];
        const dice = new Dice(seed);
        const joined = [...a, ...b, ...log].sort(() => dice.next() - 0.5);
        const of = (turns: readonly Turn[]) => {
          const all = standings(plan, items, turns, today);
          return { all, sitting: sittingOf(plan, items, turns, today) };
        };
        expect(of(joined)).toEqual(of(log));
        for (const { turns, gap, due } of of(log).all) {
          if (turns.length === 0) continue;
          expect(gap).toBeGreaterThanOrEqual(1);
          expect(gap).toBeLessThanOrEqual(LONGEST_GAP);
          expect(due).toBe(daysLater(turns.at(-1)!.day, gap));
        }
      }),
      { numRuns: 12 },
    );
  });

  it('is due on the day that a count of days apart says, of two students in one library, whatever the clock does', () => {
    // The law as README.md words it, over numbers of days; days of the calendar only at its edges.
    const first = Date.parse(DAY) / 86_400_000;
    const byLaw = (went: ReadonlyMap<number, Went>): number => {
      let [gap, last] = [0, Number.NaN];
      for (const [day, how] of [...went].sort(([a], [b]) => a - b)) {
        const early = day - last < gap;
        if (gap === 0 || how === 'not yet') gap = 1;
        else if (how === 'nearly') gap = Math.max(1, gap >> 1);
        else if (!early) gap = Math.min(32, gap * 2);
        last = day;
      }
      return last + gap;
    };
    const walk = fc.array(
      fc.record({
        by: fc.integer({ min: -3, max: 5 }),
        who: fc.nat(1),
        which: fc.nat(1),
        went: fc.constantFrom(...WENT, 'sits' as const),
      }),
      { minLength: 1, maxLength: 60 },
    );
    fc.assert(
      fc.property(arbPlan, walk, (plan, steps) => {
        const plans = [plan, { ...plan, id: 'other', log: 'other' }];
        const log: Turn[] = [];
        const went = new Map<string, Map<number, Went>>();
        let [now, latest] = [first, first];
        for (const { by, who, which, went: how } of steps) {
          now = Math.max(first, now + by);
          latest = Math.max(latest, now);
          const { key } = items[which]!;
          log.push(turnOf(plans[who]!, key, daysLater(DAY, now - first), how));
          // Of a day the last turn counts, also of one that the clock comes back to.
          const name = `${who} ${key}`;
          went.set(name, (went.get(name) ?? new Map()).set(now, how));
        }
        const later = log.map((t, i): Turn => {
          const created = new Date(Date.parse(`${t.day}T10:00:00Z`) + i).toISOString();
          return { ...t, meta: { ...t.meta, created } };
        });
        for (const [who, p] of plans.entries()) {
          for (const s of standings(p, items, later, daysLater(DAY, latest - first))) {
            const known = went.get(`${who} ${s.item.key}`);
            if (known !== undefined) expect(s.due).toBe(daysLater(DAY, byLaw(known) - first));
          }
        }
      }),
      { numRuns: 60 },
    );
  });

  it('has nothing twice in a row where there is another, the same order for the same seed', () => {
    const passes = fc
      .tuple(fc.integer({ min: 1, max: 9 }), fc.integer({ min: 0, max: 2 }), fc.nat(9))
      .map(([n, whole, part]) => {
        const all = Array.from({ length: n }, (_, i) => i);
        const rest = all.slice(0, part % n);
        return [all, ...Array.from({ length: whole }, () => all), ...(rest.length ? [rest] : [])];
      });
    fc.assert(
      fc.property(passes, fc.nat(), (all, seed) => {
        const order = mixed(all, new Dice(seed));
        expect([...order].sort()).toEqual(all.flat().sort());
        expect(mixed(all, new Dice(seed))).toEqual(order);
        if (all[0]!.length === 1) return;
        for (let i = 1; i < order.length; i++) expect(order[i]).not.toBe(order[i - 1]);
      }),
      { numRuns: 500 },
    );
  });

  it('is not put off by a clock that ran ahead, nor confused by one set back', () => {
    fc.assert(
      fc.property(arbPlan, fc.integer({ min: 1, max: 4_000 }), (plan, ahead) => {
        const [item] = items;
        const wrong = turnOf(plan, item!.key, daysLater(DAY, ahead), 'sits');
        const [first] = standings(plan, items, [wrong], DAY);
        expect([first!.due, isDue(first!, DAY)]).toEqual([DAY, true]);
        // It is still known how far it came, until a turn with a right date says otherwise.
        expect(nextStep(plan, first!).step.speed).toBeGreaterThan(60);
        const right = turnOf(plan, item!.key, DAY, 'not yet');
        const [after] = standings(plan, items, [right, wrong], DAY);
        expect([after!.turns.at(-1), after!.due]).toEqual([right, daysLater(DAY, 1)]);
      }),
      { numRuns: 30 },
    );
  });
});

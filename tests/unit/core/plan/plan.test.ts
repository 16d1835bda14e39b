import { describe, expect, it } from 'vitest';
import { removeItems } from '../../../../src/core/lesson/edit';
import type { LessonItem } from '../../../../src/core/lesson/types';
import { daysLater, isDay } from '../../../../src/core/plan/calendar';
import { checkPlan } from '../../../../src/core/plan/check';
import { gapAfter, nextStep, standings } from '../../../../src/core/plan/due';
import {
  changedPlan,
  momentOfTurn,
  newPlan,
  newTurn,
  planForAnother,
} from '../../../../src/core/plan/edit';
import { planItems } from '../../../../src/core/plan/items';
import { ladderOf, placeAfter, placeOfTurn, stepAt } from '../../../../src/core/plan/ladder';
import { paceOf, secondsOfTurn } from '../../../../src/core/plan/lasts';
import { sittingOf } from '../../../../src/core/plan/sitting';
import type { Day, PlanStep, Turn, Went } from '../../../../src/core/plan/types';
import { perform } from '../../../../src/core/sound/perform';
import { playedTicks } from '../../../../src/core/sound/unfold';
import { formatKey } from '../../../../src/core/theory/key';
import { decodeTurn } from '../../../../src/io/json/decode-plan';
import { lessonOfEveryKind } from '../../../support/lesson';
import { readSamples } from '../../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const lesson = lessonOfEveryKind([samples[0]!, samples[2]!]);
const items = planItems(lesson);
const now = '2026-11-27T08:00:00Z';
const plan = newPlan(lesson, { id: 'p', now, day: '2026-11-27', seed: 5 });

let n = 0;
const turn = (item: string, day: Day, went: Went, step: PlanStep = { speed: 60, goal: null }) =>
  newTurn(plan, { item, title: item, step, went }, { id: `t${++n}`, now: `${day}T08:00:00Z`, day });

describe('what of a lesson is practised', () => {
  it('is its music, each once, and not what is only looked at', () => {
    expect(items.map((i) => i.key.split(' ')[0])).toEqual(
      'phrase phrase pair solo rounds gaps degrees answer'.split(' '),
    );
    expect(new Set(items.map((i) => i.key)).size).toBe(items.length);
    // The same move in another way, or degrees from the key, are something else to practise.
    const others = lesson.items.flatMap((i): readonly LessonItem[] => {
      if (i.kind === 'pair') return [{ ...i, move: { ...i.move, way: 'hold' } }];
      return i.kind === 'degrees' ? [{ ...i, from: i.from === 'key' ? 'chord' : 'key' }] : [];
    });
    const more = planItems({ ...lesson, items: [...lesson.items, ...others] });
    expect(more.length).toBe(items.length + others.length);
    const first = lesson.items.find((i) => i.kind === 'phrase')!;
    expect(planItems(removeItems(lesson, first.id)).map((i) => i.key)).toEqual(
      items.slice(1).map((i) => i.key),
    );
  });
});

describe('the steps of an item', () => {
  const ladder = ladderOf(items[0]!, plan);

  it('are its tempos, then the other keys at the last two', () => {
    expect(ladder.slice(0, 5).map((s) => s.speed)).toEqual([60, 70, 80, 90, 100]);
    expect(ladder).toHaveLength(5 + 11 * 2);
    expect(ladder[5]).toMatchObject({ speed: 90, goal: { kind: 'key' } });
    expect(ladderOf(items[3]!, plan)).toHaveLength(5);
    const odd = { ...plan, tempo: { from: 70, by: 25, to: 100 }, keys: { kind: 'same' } as const };
    expect(ladderOf(items[0]!, odd).map((s) => s.speed)).toEqual([70, 95, 100]);
  });

  it('go on, stay and go back as the turn says, and round again from the written key', () => {
    expect([0, 4, 26].map((i) => placeAfter(ladder, i, 'sits'))).toEqual([1, 5, 4]);
    expect([0, 4, 26].map((i) => placeAfter(ladder, i, 'nearly'))).toEqual([0, 4, 26]);
    expect([0, 4, 26].map((i) => placeAfter(ladder, i, 'not yet'))).toEqual([0, 3, 25]);
    for (const [i, step] of ladder.entries()) {
      const { speed, goal } = step;
      expect(placeOfTurn(ladder, { speed, ...(goal && { goal }) })).toBe(i);
    }
    // The plan was another then.
    expect(placeOfTurn(ladder, { speed: 75 })).toBe(1);
    expect(placeOfTurn(ladder, { speed: 40 })).toBe(0);
    expect(placeOfTurn(ladder, { speed: 90, goal: { kind: 'chord', text: 'IV7' } })).toBe(4);
  });

  it('have each place of a list once, so that what stands behind one named twice is reached', () => {
    const { key } = items[0]!.phrase;
    const list = { kind: 'list', text: `I IV I V ${formatKey(key).split(' ')[0]}` } as const;
    const listed = ladderOf(items[0]!, { ...plan, keys: list });
    expect(listed.slice(5).map((s) => `${s.goal?.text} ${s.speed}`)).toEqual(
      ['I', 'IV', 'V'].flatMap((c) => [`${c} 90`, `${c} 100`]),
    );
    const known = new Set<string>();
    for (let i = 0, place = 0; i < listed.length; i++) {
      const { speed, goal } = listed[place]!;
      known.add(goal?.text ?? '');
      place = placeAfter(listed, placeOfTurn(listed, { speed, ...(goal && { goal }) }), 'sits');
    }
    expect([...known]).toEqual(['', 'I', 'IV', 'V']);
  });

  it('pass over keys that the neck does not have, and tell which', () => {
    // Down to the lowest string: an octave lower there is nothing.
    const cut: typeof ladder = [
      { speed: 100, goal: null },
      { speed: 90, goal: { kind: 'octaves', text: '-4' } },
      { speed: 100, goal: { kind: 'octaves', text: '-4' } },
      { speed: 90, goal: { kind: 'key', text: 'C blues' } },
    ];
    const up = stepAt(items[0]!, cut, 1, 1);
    expect([up.step, up.leftOut.length > 0]).toEqual([cut[3], true]);
    expect(stepAt(items[0]!, cut, 2, -1).step).toBe(cut[0]);
    expect(stepAt(items[0]!, cut.slice(0, 3), 1, 1).step).toBe(cut[0]);
  });
});

describe('the days of an item', () => {
  it('grow twofold while it sits, and shrink when it does not', () => {
    const days = [1, 2, 4, 8, 16, 32, 32];
    let gap = 0;
    for (const expected of days) {
      gap = gapAfter(gap, 'sits', false);
      expect(gap).toBe(expected);
    }
    expect([gapAfter(16, 'nearly', false), gapAfter(1, 'nearly', false)]).toEqual([8, 1]);
    expect([gapAfter(16, 'not yet', false), gapAfter(16, 'sits', true)]).toEqual([1, 16]);
  });

  it('count from the last day, by how it went in the end', () => {
    const key = items[0]!.key;
    const log = [
      turn(key, '2026-11-27', 'not yet'),
      turn(key, '2026-11-27', 'sits'),
      turn(key, '2026-11-28', 'sits'),
      turn(key, '2026-11-29', 'sits'),
    ];
    const at = (count: number) => standings(plan, items, log.slice(0, count), '2026-12-24')[0]!;
    expect([at(1).due, at(2).due, at(3).due]).toEqual(['2026-11-28', '2026-11-28', '2026-11-30']);
    // A day too early: no longer gap, but counted from there.
    expect([at(4).gap, at(4).due]).toEqual([2, '2026-12-01']);
    expect(nextStep(plan, at(4)).step.speed).toBe(70);
  });

  it('come new three a day; other logs and removed items do not matter', () => {
    const strange = { ...turn(items[0]!.key, '2026-11-27', 'sits'), log: 'another' };
    const gone = turn('phrase gone', '2026-11-27', 'sits');
    const all = standings(plan, items, [strange, gone], '2026-11-27');
    expect(all.map((s) => s.due.slice(8)).join(' ')).toBe('27 27 27 28 28 28 29 29');
    expect(all.every((s) => s.turns.length === 0)).toBe(true);
    expect(sittingOf(plan, [], [gone], '2026-11-27')).toMatchObject({ places: [], next: null });
  });

  it('are days of the calendar, over a change of the clocks and of the year', () => {
    expect(daysLater('2026-10-24', 2)).toBe('2026-10-26');
    expect(daysLater('2026-12-31', 1)).toBe('2027-01-01');
    expect(daysLater('2028-02-28', 1)).toBe('2028-02-29');
    // What is compared as text keeps its ten characters.
    expect(daysLater('9999-12-30', 32)).toBe('9999-12-31');
    expect(['2026-02-28', '2026-02-30', '2026-13-01', '27.11.2026'].map(isDay)).toEqual([
      true,
      false,
      false,
      false,
    ]);
  });
});

describe('a day', () => {
  it('stays as it is through its turns, and is at its end when all were taken', () => {
    const today = '2026-11-27';
    const first = sittingOf(plan, items, [], today);
    expect(first.places.length).toBeGreaterThan(3);
    expect(first.minutes).toBeLessThanOrEqual(plan.minutes);
    const log = first.places.slice(0, 2).map((p) => turn(p.item.key, today, 'sits'));
    const then = sittingOf(plan, items, log, today);
    expect(then.places.map((p) => p.item.key)).toEqual(first.places.map((p) => p.item.key));
    expect(then.places.map((p) => p.done?.id ?? '')).toEqual(
      first.places.map((_, i) => log[i]?.id ?? ''),
    );
    expect(then.next).toEqual(then.places[2]);
    const all = first.places.map((p) => turn(p.item.key, today, 'sits'));
    expect(sittingOf(plan, items, all, today).next).toBeNull();
    // What is left is told apart from the whole.
    expect([first.left, sittingOf(plan, items, all, today).left]).toEqual([first.minutes, 0]);
    expect(then.minutes).toBe(first.minutes);
    expect(then.left).toBeLessThan(first.minutes);
  });

  it('is reckoned at the pace of the turns before it, not of what was only tapped', () => {
    const today = '2026-11-27';
    const [item] = items;
    const timed = (seconds: number) =>
      Array.from({ length: 8 }, (_, i): Turn => {
        const one = turn(item!.key, '2026-11-20', 'nearly');
        const created = new Date(Date.UTC(2026, 10, 20, 17) + i * seconds * 1000).toISOString();
        return { ...one, meta: { ...one.meta, created } };
      });
    const usual = secondsOfTurn(item!, timed(60)[0]!.speed);
    expect(paceOf(items, timed(2 * usual))).toBeCloseTo(2, 2);
    expect(paceOf(items, timed(0.1 * usual))).toBe(usual > 50 ? 0.5 : 1);
    expect(paceOf(items, timed(2))).toBe(1);
    expect(paceOf(items, timed(16 * 60))).toBe(1);
    expect(paceOf(items, timed(2 * usual).slice(0, 5))).toBe(1);
    // A student who takes longer gets fewer turns, and as many minutes as the plan allows.
    const slow = sittingOf(plan, items, timed(2 * usual), today);
    const plain = sittingOf(plan, items, timed(usual), today);
    expect(slow.places.length).toBeLessThan(plain.places.length);
    expect(slow.minutes).toBeLessThanOrEqual(plan.minutes);
  });

  it('counts an answer and the bar that is counted in', () => {
    const phrase = items[0]!.phrase;
    const of = (kind: 'phrase' | 'answer') =>
      secondsOfTurn({ key: kind, phrase, item: { kind, id: 'i1', phrase: phrase.id } }, 100);
    // Four times through with a gap as long: four times its length more.
    const { sounds: _, passes, secondsPerTick } = perform(phrase);
    expect(of('answer') - of('phrase')).toBeCloseTo(4 * playedTicks(passes) * secondsPerTick, 6);
  });
});

describe('a plan that is changed', () => {
  it('keeps its log and the order of its fields; one for another student has a log of its own', () => {
    const named = changedPlan(plan, { student: 'Wren', minutes: 20 });
    expect(Object.keys(named).indexOf('student')).toBe(Object.keys(plan).indexOf('meta') + 1);
    expect(named).toEqual({ ...plan, student: 'Wren', minutes: 20 });
    expect(changedPlan(named, { student: '' })).toEqual({ ...plan, minutes: 20 });
    expect(changedPlan(named, { title: 'Thirds' }).student).toBe('Wren');
    const other = planForAnother(named, { id: 'q', now, day: '2026-12-01', seed: 6 });
    expect(other).toMatchObject({ id: 'q', parent: 'p', log: 'q', begun: '2026-12-01' });
    expect('student' in other).toBe(false);
  });
});

describe('what a plan keeps', () => {
  it('takes a list of keys that some key can read, and refuses one that none can', () => {
    const listed = (text: string) => checkPlan({ ...plan, keys: { kind: 'list', text } });
    expect(listed('I IV V, C F Bb')).toEqual([]);
    // Over C major its bass would need three sharps, over D♭ major one.
    expect(listed('##V7/VII')).toEqual([]);
    expect(listed('I Q7')).toMatchObject([{ pointer: '/keys/text' }]);
  });

  it('follows the turns of its day whatever the clock says, and a plan that a clock began tomorrow is begun', () => {
    const day = '2026-11-27';
    const [item] = items;
    const step = (speed: number): PlanStep => ({ speed, goal: null });
    const at = (time: string, speed: number, id: string) =>
      newTurn(
        plan,
        { item: item!.key, title: 'x', step: step(speed), went: 'sits' },
        { id, now: `${day}T${time}.000Z`, day },
      );
    const first = at('09:00:00', 60, 'b');
    // The clock is put back by half an hour, and stands still for a moment.
    const now = momentOfTurn(`${day}T08:30:00.000Z`, [first], day);
    const second = { ...at('08:30:00', 70, 'a'), meta: { ...first.meta, created: now } };
    const [standing] = standings(plan, items, [second, first], day);
    expect(standing!.turns).toEqual([first, second]);
    expect(nextStep(plan, standing!).step).toEqual(step(80));
    expect(momentOfTurn(`${day}T10:00:00.000Z`, [first], day)).toBe(`${day}T10:00:00.000Z`);
    expect(momentOfTurn(`2026-11-26T10:00:00.000Z`, [first], '2026-11-26')).toBe(
      `2026-11-26T10:00:00.000Z`,
    );
    expect(standings(plan, items, [], '2026-11-20')[0]!.due).toBe('2026-11-20');
    // A time without parts of a second, from a file: the one after it has some.
    const whole = { ...first, meta: { ...first.meta, created: `${day}T09:00:00Z` } };
    const next = momentOfTurn(`${day}T08:30:00Z`, [whole], day);
    const third = { ...second, meta: { ...second.meta, created: next } };
    expect(standings(plan, items, [third, whole], day)[0]!.turns).toEqual([whole, third]);
  });

  it('cuts a long title of a turn between its signs', () => {
    const long = `${'a'.repeat(499)}𝄫 end`;
    const cut = newTurn(
      plan,
      { item: 'x', title: long, step: { speed: 60, goal: null }, went: 'sits' },
      { id: 'long', now, day: '2026-11-27' },
    ).meta.title;
    expect(cut).toBe('a'.repeat(499));
    expect(
      decodeTurn({ ...turn('x', '2026-11-27', 'sits'), meta: { ...plan.meta, title: cut } }).ok,
    ).toBe(true);
  });
});

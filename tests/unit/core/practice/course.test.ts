import { describe, expect, it } from 'vitest';
import { type Course, courseOf } from '../../../../src/core/practice/course';
import { PLAIN, type Practice, type Step } from '../../../../src/core/practice/types';
import { formatKey } from '../../../../src/core/theory/key';
import { build } from '../../../support/build';

const SLOW = { tempo: { bpm: 60, unit: 'quarter' } } as const;
const bar = build('q 3/5 3/7 3/5 3/4 |', { ...SLOW, key: 'C', chords: 'C' });

function course(p = bar, practice: Partial<Practice> = {}): Course {
  const made = courseOf(p, { ...PLAIN, ...practice });
  if (!made.ok) throw new Error(made.problems[0]?.message);
  return made.value;
}

function steps(c: Course, count: number, good: (s: Step) => boolean = () => false): Step[] {
  const list: Step[] = [];
  let now: Step | null = c.first;
  while (now !== null && list.length < count) {
    list.push(now);
    now = c.after(now, good(now));
  }
  return list;
}

const clicks = (s: Step | undefined) => s?.clicks.map((c) => [c.onset, c.beat]);
const onsets = (s: Step | undefined) => s?.sounds.map((x) => Math.round(x.onset * 1000) / 1000);

describe('rounds', () => {
  it('plays once through, and nothing after that', () => {
    const all = steps(course(), 5);
    expect(all.map((s) => [s.kind, s.length])).toEqual([['play', 4]]);
    expect(onsets(all[0])).toEqual([0, 1, 2, 3]);
  });

  it('counts in once, and leaves a gap of equal length after each round', () => {
    const all = steps(course(bar, { countIn: 1, answer: true, endless: true }), 5);
    expect(all.map((s) => s.kind)).toEqual(['count-in', 'play', 'answer', 'play', 'answer']);
    expect(all.map((s) => s.length)).toEqual([4, 4, 4, 4, 4]);
    expect(all[2]!.sounds).toEqual([]);
    expect(clicks(all[0])).toEqual([
      [0, 'first'],
      [1, 'beat'],
      [2, 'beat'],
      [3, 'beat'],
    ]);
  });

  it('rises after every round, or after good ones only, up to its limit and never down', () => {
    const up = { by: 10, to: 115, after: 'every round' } as const;
    const every = steps(course(bar, { endless: true, speed: 90, stepUp: up }), 5);
    expect(every.map((s) => s.speed)).toEqual([90, 100, 110, 115, 115]);
    const after = { ...up, after: 'a good round' } as const;
    const good = steps(
      course(bar, { endless: true, speed: 90, stepUp: after }),
      4,
      (s) => s.round === 1,
    );
    expect(good.map((s) => s.speed)).toEqual([90, 90, 100, 100]);
    const above = steps(course(bar, { endless: true, speed: 150, stepUp: up }), 2);
    expect(above.map((s) => s.speed)).toEqual([150, 150]);
  });

  it('leaves the phrase out and still says where it would be', () => {
    const [only] = steps(course(bar, { phrase: false }), 1);
    expect(only?.heard).toBe(false);
    expect(onsets(only)).toEqual([0, 1, 2, 3]);
  });
});

describe('the next key', () => {
  it('goes through all keys by fourths, from the phrase itself and back to it', () => {
    const all = steps(course(bar, { endless: true, cycle: { kind: 'fourths' } }), 14);
    expect(all.map((s) => formatKey(s.take.phrase.key)).join(' ')).toBe(
      'C F Bb Eb Ab Db F# B E A D G C F',
    );
    expect(all[12]!.take.phrase).toBe(all[0]!.take.phrase);
    expect(all[0]!.next).toBe(all[1]!.take);
  });

  it('goes over the chords of a form, once where it is not endless', () => {
    const all = steps(course(bar, { cycle: { kind: 'list', text: 'I7, IV7 V7' } }), 9);
    expect(all.map((s) => s.take.goal?.text)).toEqual(['I7', 'IV7', 'V7']);
    expect(all[2]!.next).toBe(null);
  });

  it('tells which keys are passed over, and why', () => {
    // From the lowest string to the last fret: no other key has room for it.
    const wide = build('q 6/0 1/22 6/0 1/22 |', { ...SLOW, key: 'E', chords: 'E' });
    const [once] = steps(course(wide, { cycle: { kind: 'semitones' } }), 2);
    expect(once!.next).toBeNull();
    expect(once!.leftOut.map((o) => o.goal.text)).toHaveLength(11);
    expect(once!.leftOut.every((o) => o.why.length > 10)).toBe(true);
    expect(course().first.leftOut).toEqual([]);
  });

  it('says what is wrong with a list', () => {
    const wrong = (text: string) => courseOf(bar, { ...PLAIN, cycle: { kind: 'list', text } });
    expect(wrong(' , ')).toMatchObject({ ok: false });
    expect(wrong('I H')).toMatchObject({ ok: false });
    expect(wrong('C '.repeat(65))).toMatchObject({ ok: false });
  });
});

describe('a stretch', () => {
  const two = build('q 3/5 3/7(h) 3/5 3/4 | 2/5 2/7 2/5 3/4 |', {
    ...SLOW,
    key: 'C',
    chords: 'C | C',
  });
  const q = 10_080;

  it('begins where it is asked to, and plucks what nothing leads to', () => {
    const stretch = { from: q, to: 3 * q, fills: 'beat' } as const;
    const [only] = steps(course(two, { stretch }), 1);
    expect(onsets(only)).toEqual([0, 1]);
    expect(only!.sounds[0]!.begin).toBe('plucked');
    expect(only!.length).toBe(2);
    expect(only!.from).toBe(q);
  });

  it('keeps the bar where it is repeated', () => {
    const stretch = { from: 0, to: 3 * q, fills: 'bar' } as const;
    const click = { beats: 'every', accent: true, parts: 1 } as const;
    const [first] = steps(course(two, { stretch, endless: true, click }), 1);
    expect(first!.length).toBe(4);
    expect(clicks(first)).toHaveLength(4);
  });

  it('is counted in up to its place in the bar', () => {
    const stretch = { from: 3 * q, to: 4 * q, fills: 'beat' } as const;
    const [count] = steps(course(two, { stretch, countIn: 1 }), 1);
    expect(count!.length).toBe(3);
    expect(clicks(count)![0]).toEqual([0, 'first']);
    const late = steps(course(two, { stretch: { ...stretch, from: q }, countIn: 1 }), 1)[0]!;
    expect(late.length).toBe(5);
    expect(clicks(late)!.map((c) => c[1])).toEqual(['first', 'beat', 'beat', 'beat', 'first']);
  });
});

describe('the metronome', () => {
  const click = (beats: 'every' | 'first' | 'back', parts: 1 | 2 | 3 = 1) =>
    ({ beats, accent: true, parts }) as const;

  it('beats every beat, the first, or the second and fourth', () => {
    const of = (way: ReturnType<typeof click>) =>
      clicks(steps(course(bar, { click: way }), 1)[0])!.map((c) => c[0]);
    expect(of(click('every'))).toEqual([0, 1, 2, 3]);
    expect(of(click('first'))).toEqual([0]);
    expect(of(click('back'))).toEqual([1, 3]);
    expect(of(click('back', 2))).toEqual([1, 1.5, 3, 3.5]);
  });

  it('counts dotted quarters in compound time (T2)', () => {
    const six = build('q. 3/5 3/7 |', { meter: '6/8', tempo: { bpm: 60, unit: 'dotted-quarter' } });
    const [only] = steps(course(six, { click: click('every', 3) }), 1);
    expect(clicks(only)!.map((c) => c[1])).toEqual([
      'first',
      'part',
      'part',
      'beat',
      'part',
      'part',
    ]);
  });

  it('swings its halves with the phrase, at the ratio that was chosen', () => {
    const [only] = steps(course(bar, { click: click('every', 2), swing: 75 }), 1);
    expect(
      clicks(only)!
        .slice(0, 3)
        .map((c) => c[0]),
    ).toEqual([0, 0.75, 1]);
  });

  it('keeps its beat over a pickup that comes round again', () => {
    const p = build('e 3/5 | q 3/5 3/7 3/5 3/4 |', { ...SLOW, pickup: 5040 });
    const all = steps(course(p, { endless: true, countIn: 1, click: click('every') }), 3);
    expect(all.map((s) => s.length)).toEqual([3.5, 8, 8]);
    expect(clicks(all[1])!.map((c) => c[0])).toEqual([0.5, 1.5, 2.5, 3.5, 4.5, 5.5, 6.5, 7.5]);
    expect(clicks(all[1])!.filter((c) => c[1] === 'first')).toHaveLength(2);
  });
});

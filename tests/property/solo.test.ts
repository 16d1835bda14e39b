import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { layForm } from '../../src/core/form/lay';
import { standardForm } from '../../src/core/form/standard';
import { logShares } from '../../src/core/joins/share';
import { laneOf } from '../../src/core/move/lane';
import { HIGHEST_FRET } from '../../src/core/neck/from-hand';
import { notesOf } from '../../src/core/phrase/walk';
import { formatProblem } from '../../src/core/result';
import { alternatives } from '../../src/core/solo/alternatives';
import { lineOf } from '../../src/core/solo/line';
import { Placer } from '../../src/core/solo/placer';
import { faultsOf, proposeSolos } from '../../src/core/solo/propose';
import type { Solo, SoloOptions } from '../../src/core/solo/types';
import { isLine } from '../../src/core/solo/usable';
import { Ways } from '../../src/core/solo/way';
import type { Stretch } from '../../src/core/solo/way-task';
import { parseKey } from '../../src/core/theory/key';
import { build } from '../support/build';
import { readSamples } from '../support/samples';
import { runs } from '../support/thorough';

const REST = 0.8;
const REST_AFTER_TWO = 0.3;

interface Case {
  readonly bars: number;
  readonly stretches: readonly Stretch[];
  readonly score: (a: number | null, b: number) => number;
  /** Where joins look at two before. */
  readonly scoreAfterTwo: ((e: number, a: number, b: number) => number) | null;
  /** So many stretches a bar are looked at then. */
  readonly lookedAt: number;
  readonly mostRest: number;
  readonly emptyBar: number;
  readonly resting: ReadonlySet<number>;
  /** A stretch that must be there, or −1. */
  readonly pin: number;
  readonly closed: ReadonlySet<number>;
}

/** Every way there is, each with its worth by the definition in the docstring of `Ways`. */
function everyWay(c: Case): readonly { readonly way: readonly number[]; readonly worth: number }[] {
  const { bars, stretches, score, scoreAfterTwo, mostRest, resting, pin } = c;
  const out: { way: readonly number[]; worth: number }[] = [];
  const pinned = stretches[pin];
  const barsIn = (from: number, to: number) =>
    Array.from({ length: to - from }, (_, i) => from + i);
  const emptyIn = (from: number, to: number) =>
    barsIn(from, to).filter((bar) => !resting.has(bar)).length;
  const passes = (from: number, to: number) =>
    emptyIn(from, to) <= mostRest && !barsIn(from, to).some((bar) => bar === pinned?.start);
  const go = (way: readonly number[], at: number, worth: number) => {
    const from = way.at(-1) ?? null;
    if (at === bars) {
      out.push({ way, worth });
      return;
    }
    const earlier = way.at(-2);
    const two = scoreAfterTwo !== null && from !== null && earlier !== undefined;
    const can = stretches.flatMap((s, i) => {
      const one = s.start >= at && passes(at, s.start) ? score(from, i) : -Infinity;
      const value = two && one > -Infinity ? scoreAfterTwo(earlier, from, i) : one;
      return value === -Infinity ? [] : [{ next: i, value, start: s.start, end: s.end }];
    });
    if (from !== null && passes(at, bars)) {
      can.push({ next: -1, value: two ? REST_AFTER_TWO : REST, start: bars, end: bars });
    }
    const shares = logShares(can.map((x) => x.value));
    can.forEach((x, i) => {
      const more = worth + shares[i]! * (x.end - at) - c.emptyBar * emptyIn(at, x.start);
      if (x.next < 0) out.push({ way, worth: more });
      else go([...way, x.next], x.end, more);
    });
  };
  go([], 0, 0);
  // What is not allowed keeps its share, so it goes last.
  return out.filter(
    ({ way }) =>
      (pin < 0 || way.includes(pin)) &&
      way.every((i) => {
        const { start, end } = stretches[i]!;
        const rests = [...resting].some((bar) => bar >= start && bar < end);
        return !c.closed.has(i) && !rests;
      }),
  );
}

/** Which stretches are looked at: of each bar as many as there is room for, the best by single joins first. */
function lookedAt(c: Case): ReadonlySet<number> {
  const singles = everyWay({ ...c, scoreAfterTwo: null });
  const worth = (i: number) =>
    Math.max(...singles.filter(({ way }) => way.includes(i)).map((w) => w.worth));
  const starts = new Set(c.stretches.map((s) => s.start));
  const places = [...starts].map((start) =>
    c.stretches
      .flatMap((s, i) => (s.start === start && worth(i) > -Infinity ? [i] : []))
      .sort((i, j) => worth(j) - worth(i)),
  );
  const sizes = c.stretches.map((_, k) => places.flatMap((p) => p.slice(0, k + 1)));
  return new Set(sizes.filter((s) => s.length <= c.lookedAt * starts.size).at(-1) ?? []);
}

const anyCase: fc.Arbitrary<Case> = fc
  .record({
    bars: fc.integer({ min: 2, max: 6 }),
    drawn: fc.array(fc.record({ start: fc.nat(5), length: fc.integer({ min: 1, max: 3 }) }), {
      minLength: 1,
      maxLength: 7,
    }),
    scores: fc.array(fc.double({ min: -3, max: 5, noNaN: true }), { minLength: 64, maxLength: 64 }),
    two: fc.option(
      fc.array(fc.double({ min: -3, max: 5, noNaN: true }), { minLength: 343, maxLength: 343 }),
      { nil: null, freq: 2 },
    ),
    lookedAt: fc.constantFrom(1, 2, 12),
    mostRest: fc.constantFrom(1, 1, 1, 6),
    emptyBar: fc.constantFrom(0, 2, 30),
    resting: fc.option(fc.nat(4), { nil: null, freq: 2 }),
    pin: fc.option(fc.nat(6), { nil: null, freq: 2 }),
    closed: fc.uniqueArray(fc.nat(6), { maxLength: 2 }),
  })
  .map(({ bars, drawn, scores, two, lookedAt, mostRest, emptyBar, resting, pin, closed }) => {
    const stretches = drawn
      .map((s) => ({ start: s.start, end: s.start + s.length }))
      .filter((s) => s.end <= bars);
    const fixed = pin !== null && pin < stretches.length ? pin : -1;
    return {
      bars,
      stretches,
      score: (a, b) => {
        const s = scores[((a ?? -1) + 1) * 8 + b]!;
        return s < -2 ? -Infinity : s;
      },
      scoreAfterTwo: two === null ? null : (e, a, b) => two[(e * 7 + a) * 7 + b]!,
      lookedAt,
      mostRest,
      emptyBar,
      resting: new Set(resting === null ? [] : [resting]),
      pin: fixed,
      closed: new Set(closed.filter((i) => i !== fixed)),
    };
  });

const waysOf = ({ pin, stretches, scoreAfterTwo, ...c }: Case) => {
  const two =
    scoreAfterTwo === null
      ? {}
      : {
          scoreAfterTwo: (e: number, a: number) => (b: number) => scoreAfterTwo(e, a, b),
          restAfterTwo: REST_AFTER_TWO,
        };
  const begins = new Set(pin < 0 ? [] : [stretches[pin]!.start]);
  return new Ways({ ...c, ...two, stretches, rest: REST, begins });
};

const allowedIn = (c: Case) => (i: number) =>
  !c.closed.has(i) &&
  (c.pin < 0 || i === c.pin || c.stretches[i]!.start !== c.stretches[c.pin]!.start);

describe('the way through a form', () => {
  it('is the best of all ways that have what is pinned, or none where there is none', () => {
    const met = { several: 0, pinned: 0, resting: 0, none: 0, two: 0, left: 0 };
    fc.assert(
      fc.property(anyCase, (c) => {
        const every = everyWay(c);
        const looked = c.scoreAfterTwo === null ? null : lookedAt(c);
        const all = every.filter(({ way }) => way.every((i) => looked?.has(i) ?? true));
        if (looked !== null && all.length > 1) met.two++;
        if (looked !== null && all.length < every.length) met.left++;
        const ways = waysOf(c);
        const found = ways.find({ allowed: allowedIn(c), draw: null });
        const through = ways.through(allowedIn(c));
        c.stretches.forEach((_, i) => {
          const having = all.filter(({ way }) => way.includes(i)).map(({ worth }) => worth);
          if (having.length === 0) expect(through[i]).toBe(-Infinity);
          else expect(through[i]).toBeCloseTo(Math.max(...having), 9);
        });
        if (all.length === 0) {
          met.none++;
          expect(found).toBeNull();
          return;
        }
        if (all.length > 1) met.several++;
        if (all.length > 1 && c.pin >= 0) met.pinned++;
        if (all.length > 1 && c.resting.size > 0) met.resting++;
        const best = Math.max(...all.map((w) => w.worth));
        const mine = all.find((w) => w.way.join() === found?.join());
        expect(mine?.worth).toBeCloseTo(best, 9);
      }),
      { seed: 20_261_127, numRuns: runs(600, 6_000) },
    );
    expect(Math.min(...Object.values(met)), JSON.stringify(met)).toBeGreaterThan(9);
  });

  it.each([1, 4])('is drawn in proportion to its likelihood, over %i bars', (bars) => {
    const stretches = [
      { start: 0, end: bars },
      { start: 0, end: bars },
    ];
    const counts = [0, 0];
    const score = (_: number | null, b: number) => Math.log(b === 0 ? 3 : 1);
    const ways = new Ways({ bars, stretches, score, rest: 0 });
    for (let i = 0; i < 1_000; i++) {
      const draw = () => (i + 0.5) / 1_000;
      counts[ways.find({ draw })![0]!]!++;
    }
    expect(counts).toEqual([750, 250]);
  });

  it('is found where the likeliest of each bar cannot follow each other', () => {
    // Two ways have the first of bar 1, the likeliest; the likeliest of bar 2 follows another alone.
    const after: Readonly<Record<string, number>> = {
      'null 0': 0.5,
      'null 1': 0,
      '0 2': 0,
      '0 3': 0,
      '1 4': 1,
    };
    const score = (a: number | null, b: number) => after[`${a} ${b}`] ?? -Infinity;
    const stretches = [0, 0, 1, 1, 1].map((start) => ({ start, end: start + 1 }));
    const scoreAfterTwo = () => () => 0;
    const ways = new Ways({
      ...{ bars: 2, stretches, score, scoreAfterTwo, rest: -Infinity, lookedAt: 1 },
    });
    const way = ways.find({ draw: () => 0.5 });
    expect(['0,2', '0,3', '1,4']).toContain(way?.join());
  });
});

describe('a solo of the samples', () => {
  const phrases = readSamples().map((s) => s.phrase);
  const frame = (n: number) => ({
    id: `solo-${n}`,
    tempo: { bpm: 100, unit: 'quarter' } as const,
    meta: { title: 'A solo', tags: [], created: NOW, modified: NOW },
  });

  it.each([
    ['slow-blues', 'E'],
    ['minor-blues', 'Bb'],
  ])('over %s in %s is sound, fills the form, keeps roles and repeats nothing', (id, key) => {
    const form = layForm(standardForm(id)!, parseKey(key)!.tonic);
    if (!form.ok) throw new Error(id);
    const options = { seed: 7, count: runs(2, 20) };
    const made = proposeSolos({ form: form.value, phrases, options }, frame);
    if (!made.ok) throw new Error(made.problems[0]?.message);
    expect(made.value.length).toBe(options.count);
    for (const solo of made.value) {
      expect(faultsOf(solo.phrase)).toEqual([]);
      expect(solo.phrase.bars.length).toBe(form.value.bars.length);
      expect(laneOf(solo.phrase).length).toBeGreaterThan(3);
      // Every bar is in one part, or named with its reason.
      const bars = solo.parts.flatMap((p) =>
        Array.from({ length: p.lastBar - p.firstBar + 1 }, (_, i) => p.firstBar + i),
      );
      const all = [...bars, ...solo.empty.map((e) => e.bar)].sort((a, b) => a - b);
      expect(all).toEqual(form.value.bars.map((_, i) => i + 1));
      const once = new Set(solo.parts.map((p) => p.phrase.id));
      expect(solo.parts.length).toBeLessThanOrEqual(once.size * MOST);
      // Nothing is lost on the way from the parts to the whole.
      const notes = solo.parts.reduce((n, p) => n + notesOf(p.phrase).length, 0);
      expect(notesOf(solo.phrase).length).toBe(notes);
    }
    const again = proposeSolos({ form: form.value, phrases, options }, frame);
    expect(again).toEqual(made);
  });

  it('lies in the octaves that joins were weighed in, and unasked no higher than its phrases were written', () => {
    const standard = fc.constantFrom('slow-blues', 'blues', 'minor-blues', 'aaba', 'two-chords');
    const tonic = fc.constantFrom('Eb', 'F#', 'A', 'C');
    fc.assert(
      fc.property(standard, tonic, fc.nat(999), (id, key, seed) => {
        const form = layForm(standardForm(id)!, parseKey(key)!.tonic);
        if (!form.ok) throw new Error(id);
        const placer = new Placer(form.value, phrases);
        const made = proposeSolos({ form: form.value, phrases, options: { seed } }, frame, placer);
        if (!made.ok) throw new Error(made.problems[0]?.message);
        const [solo] = made.value;
        for (const [i, part] of solo!.parts.entries()) {
          const own = (x: string) => x.startsWith(`${i + 1}-`);
          const [melody] = solo!.phrase.voices;
          const events = melody.events.filter((e) => own(e.notes[0].id));
          const line = lineOf({ ...solo!.phrase, voices: [{ ...melody, events }] });
          const found = placer.at(part.index, part.firstBar - 1, 1);
          if (!found.ok) throw new Error(found.problems[0]?.message);
          const { sketch } = found.value.find((c) => c.octaves === part.octaves)!;
          const off = line.map((n, k) => n.midi - sketch.midi[k]! - 12 * part.octaves);
          // A bend may be narrowed, by less than an octave.
          expect(off.filter((n) => Math.abs(n) >= 12)).toEqual([]);
          const written = new Map(notesOf(part.phrase).map(({ note }) => [note.id, note.fret]));
          const high = notesOf(solo!.phrase).filter(({ note }) => {
            const free = note.kind === 'dead' || note.harmonic?.kind === 'natural';
            if (free || !own(note.id) || note.fret <= HIGHEST_FRET) return false;
            return written.get(note.id.slice(`${i + 1}-`.length))! <= HIGHEST_FRET;
          });
          expect(high.map(({ note }) => `${part.phrase.meta.title} ${note.fret}`)).toEqual([]);
        }
      }),
      { seed: 20_261_129, numRuns: runs(12, 120) },
    );
  });

  it('is another each time, where several are asked for', () => {
    const form = layForm(standardForm('blues')!, parseKey('Bb')!.tonic);
    if (!form.ok) throw new Error(form.problems[0]?.message);
    const placer = new Placer(form.value, phrases);
    // How many phrases begin the five of each seed: about three, and one where what is drawn is what is best.
    const firsts = Array.from({ length: runs(12, 60) }, (_, i) => {
      const options = { seed: 4100 + i, count: 5 };
      const made = proposeSolos({ form: form.value, phrases, options }, frame, placer);
      if (!made.ok) throw new Error(made.problems[0]?.message);
      expect(made.value.length).toBe(5);
      const ways = made.value.map((s) => s.parts.map((p) => `${p.firstBar} ${p.phrase.id}`));
      expect(new Set(ways.map(String)).size).toBe(5);
      return new Set(ways.map(([first]) => first)).size;
    });
    expect(Math.min(...firsts)).toBeGreaterThan(1);
    expect(firsts.reduce((a, b) => a + b, 0) / firsts.length).toBeGreaterThan(2.5);
  });

  it('keeps what is pinned, and what is exchanged is the best of what is left', () => {
    const form = layForm(standardForm('blues')!, parseKey('A')!.tonic);
    if (!form.ok) throw new Error('blues');
    const task = (options: SoloOptions) => ({ form: form.value, phrases, options });
    const solo = (options: SoloOptions) => {
      const made = proposeSolos(task(options), frame);
      if (!made.ok) throw new Error(made.problems[0]?.message);
      return made.value[0]!;
    };
    const first = solo({});
    const spots = first.parts.map((p) => ({
      start: p.firstBar - 1,
      index: p.index,
      octaves: p.octaves,
    }));
    const shown = (s: Solo) => s.parts.map((p) => `${p.firstBar} ${p.index} ${p.octaves}`);
    // Pinned as it is it stays as it is.
    expect(shown(solo({ pins: spots }))).toEqual(shown(first));
    for (const [i, spot] of spots.entries()) {
      if (i % runs(3, 1) !== 1 % runs(3, 1)) continue;
      const pins = spots.filter((s) => s !== spot);
      const place = { start: spot.start, end: first.parts[i]!.lastBar };
      const most = phrases.length;
      const offered = alternatives(task({ pins, exclude: [spot], most }), place);
      if (!offered.ok) throw new Error(offered.problems[0]?.message);
      expect(offered.value.map((a) => a.index)).not.toContain(spot.index);
      const next = solo({ pins, exclude: [spot], most });
      const there = next.parts.find((p) => p.firstBar === spot.start + 1);
      if (there !== undefined) expect(offered.value[0]?.index).toBe(there.index);
      const others = (s: Solo) =>
        shown(s).filter((x) => pins.some((p) => x.startsWith(`${p.start + 1} `)));
      expect(others(next)).toEqual(others(first));
    }
  });

  it('lays what was put there alone, leaves bars empty on purpose, and names a pin that cannot stand', () => {
    const form = layForm(standardForm('blues')!, parseKey('E')!.tonic);
    if (!form.ok) throw new Error('blues');
    const propose = (options: SoloOptions) =>
      proposeSolos({ form: form.value, phrases, options }, frame);
    const [two] = phrases.flatMap((p, i) =>
      p.bars.length === 2 && p.bars.every((b) => b.meter.beats === 4) && isLine(p) ? [i] : [],
    );
    const alone = propose({ fill: false, pins: [{ start: 4, index: two! }] });
    if (!alone.ok) throw new Error(alone.problems[0]?.message);
    expect(alone.value[0]!.parts.map((p) => [p.firstBar, p.lastBar, p.pinned])).toEqual([
      [5, 6, true],
    ]);
    expect(alone.value[0]!.empty.length).toBe(10);
    expect(faultsOf(alone.value[0]!.phrase)).toEqual([]);

    const rests = propose({ pins: [3, 4, 5].map((start) => ({ start, index: null })) });
    if (!rests.ok) throw new Error(rests.problems[0]?.message);
    const free = rests.value[0]!.empty.filter((e) => e.why.includes('on purpose'));
    expect(free.map((e) => e.bar)).toEqual([4, 5, 6]);

    const message = (options: SoloOptions) => {
      const made = propose(options);
      return made.ok ? null : formatProblem(made.problems[0]!);
    };
    expect(message({ pins: [{ start: 11, index: two! }] })).toMatch(
      /^bar 12: “[^”]*” cannot stand there: it has 2 bars/u,
    );
    const both = [4, 5].map((start) => ({ start, index: two! }));
    expect(message({ pins: both })).toMatch(/^bar 6: .* would both stand there\./u);
    const other = phrases.findIndex((p) => p.bars[0]!.meter.beatType === 8);
    expect(message({ pins: [{ start: 0, index: other }] })).toMatch(
      /it is in 12\/8 and the form in/u,
    );
  });

  it('says of each bar that stays empty what kept all phrases away', () => {
    const form = layForm(standardForm('blues')!, parseKey('A')!.tonic);
    if (!form.ok) throw new Error('blues');
    const lines = phrases.filter((p) => p.bars[0]!.meter.beatType === 4 && isLine(p));
    const why = (list: typeof phrases, options: SoloOptions) => {
      const made = proposeSolos({ form: form.value, phrases: list, options }, frame);
      if (!made.ok) throw new Error(made.problems[0]?.message);
      return made.value[0]!;
    };
    const twos = lines.filter((p) => p.bars.length === 2);
    const one = build('q 3/5 3/7 2/8 2/5', { key: 'A', chords: 'A7' });
    // Bars 1 and 4 lie alone between what is pinned.
    const pins = [1, 4].map((start) => ({ start, index: 0 }));
    const alone = why(twos, { pins, most: 6 }).empty.filter((e) => e.bar === 1 || e.bar === 4);
    expect(alone.map((e) => e.why)).toEqual(
      alone.map(() => 'no phrase of up to one bar can be moved there'),
    );
    expect(alone.map((e) => e.bar)).toEqual([1, 4]);
    // Where only some were weighed, others may go there.
    const some = why([...twos, one], { pins, most: 6, pool: 1 }).empty.find((e) => e.bar === 1);
    expect(some?.why).toBe(
      'no phrase of up to one bar can be moved there, of the 1 that suit best',
    );
    const once = why([twos[0]!, one], { pins: [...pins, { start: 11, index: 1 }], most: 1 });
    const first = once.empty.find((e) => e.bar === 1);
    expect(first?.why).toBe('every phrase of up to one bar stands once already');
    // A phrase does not come after itself unasked, however often it may stand.
    const lone = why([twos[0]!], {}).empty;
    const twice = `“${twos[0]!.meta.title}” would come twice in a row`;
    expect(lone.map((e) => e.why)).toEqual(Array(10).fill(twice));
    // Where phrases of a bar and of two may stand as often as they like, nothing has to stay empty.
    for (const seed of [1, 2, 3])
      expect(why([...lines, one], { seed, most: 12 }).empty.length).toBeLessThan(2);
  });

  it('says what is missing where nothing fits', () => {
    const form = layForm(standardForm('blues')!, parseKey('C')!.tonic);
    if (!form.ok) throw new Error('blues');
    const made = proposeSolos({ form: form.value, phrases: [], options: {} }, frame);
    expect(made.ok ? null : made.problems[0]?.message).toMatch(/^no phrase in 4\/4/u);
  });
});

const NOW = '2026-01-01T00:00:00.000Z';

/** A small library: three phrases in 12/8 must stand more than once. */
const MOST = 3;

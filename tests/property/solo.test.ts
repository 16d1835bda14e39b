import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { layForm } from '../../src/core/form/lay';
import { standardForm } from '../../src/core/form/standard';
import { logShares } from '../../src/core/joins/share';
import { laneOf } from '../../src/core/move/lane';
import { notesOf } from '../../src/core/phrase/walk';
import { faultsOf, proposeSolos } from '../../src/core/solo/propose';
import { findWay, type Stretch } from '../../src/core/solo/way';
import { parseKey } from '../../src/core/theory/key';
import { readSamples } from '../support/samples';
import { runs } from '../support/thorough';

const REST = 0.8;

/** Every way there is, each with its worth by the definition in the docstring of `findWay`. */
function everyWay(
  bars: number,
  stretches: readonly Stretch[],
  score: (a: number | null, b: number) => number,
): readonly { readonly way: readonly number[]; readonly worth: number }[] {
  const out: { way: readonly number[]; worth: number }[] = [];
  const go = (way: readonly number[], at: number, worth: number) => {
    const from = way.at(-1) ?? null;
    if (at === bars) {
      out.push({ way, worth });
      return;
    }
    const can = stretches.flatMap((s, i) => {
      const value = s.start === at || s.start === at + 1 ? score(from, i) : -Infinity;
      return value === -Infinity ? [] : [{ next: i, value, end: s.end }];
    });
    if (from !== null && at + 1 >= bars) can.push({ next: -1, value: REST, end: bars });
    const shares = logShares(can.map((c) => c.value));
    can.forEach((c, i) => {
      const more = worth + shares[i]! * (c.end - at);
      if (c.next < 0) out.push({ way, worth: more });
      else go([...way, c.next], c.end, more);
    });
  };
  go([], 0, 0);
  return out;
}

describe('the way through a form', () => {
  it('is the best of all ways, or none where there is none', () => {
    let several = 0;
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 6 }),
        fc.array(fc.record({ start: fc.nat(5), length: fc.integer({ min: 1, max: 3 }) }), {
          minLength: 1,
          maxLength: 7,
        }),
        fc.array(fc.double({ min: -3, max: 5, noNaN: true }), { minLength: 64, maxLength: 64 }),
        (bars, drawn, scores) => {
          const stretches = drawn
            .map((s) => ({ start: s.start, end: s.start + s.length }))
            .filter((s) => s.end <= bars);
          const score = (a: number | null, b: number) => {
            const s = scores[((a ?? -1) + 1) * 8 + b]!;
            return s < -2 ? -Infinity : s;
          };
          const all = everyWay(bars, stretches, score);
          const found = findWay({ bars, stretches, score, rest: REST, draw: null });
          if (all.length === 0) {
            expect(found).toBeNull();
            return;
          }
          if (all.length > 1) several++;
          const best = Math.max(...all.map((w) => w.worth));
          const mine = all.find((w) => w.way.join() === found?.join());
          expect(mine?.worth).toBeCloseTo(best, 9);
        },
      ),
      { seed: 20_261_127, numRuns: runs(300, 3_000) },
    );
    expect(several).toBeGreaterThan(30);
  });

  it('is drawn in proportion to its likelihood', () => {
    const stretches = [
      { start: 0, end: 1 },
      { start: 0, end: 1 },
    ];
    const counts = [0, 0];
    for (let i = 0; i < 1_000; i++) {
      const draw = () => (i + 0.5) / 1_000;
      const score = (_: number | null, b: number) => Math.log(b === 0 ? 3 : 1);
      counts[findWay({ bars: 1, stretches, score, rest: 0, draw })![0]!]!++;
    }
    expect(counts).toEqual([750, 250]);
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
    ['blues', 'A'],
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

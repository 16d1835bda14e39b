import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { STANDARD_FORMS } from '../../../../src/core/form/standard';
import { canonicalSymbol } from '../../../../src/core/theory/chord';
import { formatKey } from '../../../../src/core/theory/key';
import { layFirst } from '../../../../src/ui/solo/lay-first';
import { readSamples } from '../../../support/samples';

const samples = readSamples().map((s) => s.phrase);

describe('phrases laid on a form that nobody has named', () => {
  it('lie each once, pinned, on bars that no other has, or are named with the reason', () => {
    for (const some of [samples.slice(0, 1), samples.slice(3, 15)]) {
      const { bench, left } = layFirst(some, STANDARD_FORMS);
      const ids = bench.held.map((h) => h.id);
      expect(new Set(ids).size).toBe(ids.length);
      expect(ids.length + left.length).toBe(some.length);
      const bars = bench.held.flatMap((h) => {
        const of = some.find((p) => p.id === h.id)!;
        return of.bars.map((_, i) => h.bar + i);
      });
      expect(new Set(bars).size).toBe(bars.length);
      expect(bench.held.length).toBeGreaterThan(some.length / 2);
      expect(bench.held.every((h) => h.pinned)).toBe(true);
    }
  });

  it('lie over their own chords in their own key, in a form of their metre and mode', () => {
    const at = (text: string) => {
      const p = samples.find((s) => s.meta.title === text)!;
      const { bench } = layFirst([p], STANDARD_FORMS);
      return { p, bench };
    };
    let laidNow = 0;
    for (const { meta } of samples.slice(0, 9)) {
      const { p, bench } = at(meta.title);
      if (bench.held.length === 0) continue;
      laidNow++;
      expect(bench.form.meter, meta.title).toEqual(p.bars[0]!.meter);
      expect(formatKey({ ...bench.key, mode: 'major' })).toBe(
        formatKey({ ...p.key, mode: 'major' }),
      );
    }
    expect(laidNow).toBeGreaterThan(6);
    // On twelve bars of A7 D7 E7 as they are usually written down: I I I I IV IV I I V IV I V (common practice).
    const first = at('First Ferry Out').bench;
    expect([first.form.id, first.held[0]?.bar]).toEqual(['blues', 1]);
    const { p, bench } = at('First Ferry Out');
    const d7 = canonicalSymbol('D7');
    const overFour = { ...p, chords: d7.ok ? [{ onset: 0, symbol: d7.value }] : [] };
    const four = layFirst([overFour], STANDARD_FORMS).bench;
    expect([four.form.id, four.held[0]?.bar]).toEqual([bench.form.id, 5]);
    // ii V I stands where the form has it.
    const stair = at('Spiral Stair').bench;
    const laid = layForm(stair.form, stair.key.tonic);
    const bar = stair.held[0]!.bar;
    const roots = laid.ok
      ? laid.value.bars.slice(bar - 1, bar + 1).map((b) => b[0]?.root.letter)
      : [];
    expect(roots).toEqual(['G', 'C']);
  });
});

import { expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import { joinScore } from '../../../../src/core/joins/join';
import { AFTER_TWO_WEIGHTS } from '../../../../src/core/joins/weights';
import { Placer } from '../../../../src/core/solo/placer';
import { featuresOf, Scores } from '../../../../src/core/solo/scores';
import { readSamples } from '../../../support/samples';

it('what ends the form on no tone of its last chord counts less, what stands before its end does not', () => {
  const laid = layForm(standardForm('blues')!, { letter: 'A', alter: 0 });
  if (!laid.ok) throw new Error('blues');
  const phrases = readSamples().map((s) => s.phrase);
  const placer = new Placer(laid.value, phrases);
  const i = phrases.findIndex((p) => p.bars.length === 2 && p.bars[0]!.meter.beatType === 4);
  const costs = [0, 8, 10].map((start) => {
    const placed = placer.at(i, start, 1);
    if (!placed.ok) throw new Error('it does not lie on the neck');
    const [c] = placed.value;
    const of = (endsOnTone: boolean) => ({ ...c!, standing: { ...c!.standing, endsOnTone } });
    const all = [of(true), of(false)];
    const scores = new Scores({ form: laid.value, phrases, options: {} }, all, new Set());
    return scores.of(null, 0) - scores.of(null, 1);
  });
  expect(costs).toEqual([0, 0, 1.5]);
});

it('a join after two phrases, put together from its pairs, is the join reckoned at once', () => {
  const laid = layForm(standardForm('blues')!, { letter: 'A', alter: 0 });
  if (!laid.ok) throw new Error('blues');
  const phrases = readSamples().map((s) => s.phrase);
  const placer = new Placer(laid.value, phrases);
  const at = (start: number) =>
    phrases.flatMap((p, i) => {
      if (p.bars.length > 2 || p.bars[0]!.meter.beatType !== 4) return [];
      const placed = placer.at(i, start, 0);
      // Every octave that lies on the neck.
      return placed.ok ? placed.value.slice(-(1 + (i % 3))) : [];
    });
  const [first, second, third] = [at(0).slice(0, 8), at(2).slice(3, 11), at(4).slice(5, 13)];
  let back = 0;
  const all = [...first!, ...second!, ...third!];
  const scores = new Scores({ form: laid.value, phrases, options: {} }, all, new Set());
  let octaves = 0;
  for (const a of first!) {
    for (const b of second!) {
      for (const c of third!) {
        const [i, j, k] = [a, b, c].map((x) => all.indexOf(x)) as [number, number, number];
        if (scores.of(j, k) === -Infinity) continue;
        const beside = scores.of(j, k) - joinScore(featuresOf(b, c));
        const whole = joinScore(featuresOf(b, c, a), AFTER_TWO_WEIGHTS);
        expect(scores.afterTwo(i, j)(k)).toBeCloseTo(whole + beside, 9);
        // What comes back itself is no quotation.
        if (a.index === c.index) back++;
        if (a.index === c.index) expect(featuresOf(b, c, a).quotesEarlier).toBe(0);
        if (new Set([a.octaves, b.octaves, c.octaves]).size === 3) octaves++;
      }
    }
  }
  expect(Math.min(octaves, back)).toBeGreaterThan(5);
});

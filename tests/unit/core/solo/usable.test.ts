import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import { isLine, isTooQuick, nothingUsable, usablePhrases } from '../../../../src/core/solo/usable';
import { writtenScore, writtenWords } from '../../../../src/core/solo/written';
import { build } from '../../../support/build';
import { readSamples } from '../../../support/samples';

const samples = readSamples().map((s) => s.phrase);

describe('what a solo is made of', () => {
  it('is lines and double stops, and what accompanies only where it is asked for', () => {
    const accompany = samples.filter((p) => !isLine(p)).map((p) => p.meta.title);
    expect(accompany).toEqual([
      'Harbour Wall Drone',
      'Low Water Riff',
      'Fish Market Scratch',
      'Four Stairs Down',
    ]);
    const laid = layForm(standardForm('blues')!, { letter: 'A', alter: 0 });
    if (!laid.ok) throw new Error('the blues is no form');
    const titles = (chords: boolean) =>
      usablePhrases(samples, laid.value, { chords }).map((i) => samples[i]!.meta.title);
    expect(titles(false)).not.toContain('Fish Market Scratch');
    expect(titles(true)).toContain('Fish Market Scratch');
  });

  it('fits into the form, and where nothing does it is said how long it might be', () => {
    const blues = standardForm('blues')!;
    const over = (bars: string) =>
      layForm({ ...blues, sections: [{ name: 'A', bars }] }, { letter: 'A', alter: 0 });
    const [one, many] = [over('I7'), over('I7 | I7 | IV7 | IV7 | I7')];
    if (!one.ok || !many.ok) throw new Error('the form is laid');
    expect(nothingUsable(one.value)).toMatch(/^no phrase in 4\/4 of one bar without repeats/u);
    expect(nothingUsable(many.value)).toMatch(/^no phrase in 4\/4 of up to 4 bars without/u);
    expect(nothingUsable(many.value, 2)).toContain('without repeats and of level 2 at most was');
  });

  it('is no quicker than ten notes a second, but for who wrote it so', () => {
    const at = (bpm: number) => ({ bpm, unit: 'quarter' }) as const;
    const run = (bpm: number) =>
      build('s 3/5 3/7 2/5 2/6 q 2/8 h 1/5', { tempo: at(bpm) } as never);
    expect(isTooQuick(run(90), at(150))).toBe(false);
    expect(isTooQuick(run(90), at(151))).toBe(true);
    expect(isTooQuick(run(160), at(155))).toBe(false);
    expect(isTooQuick(run(160), at(165))).toBe(true);
    // Four are no run yet.
    expect(
      isTooQuick(build('s 3/5 3/7 2/5 e 2/6 e 2/8 h 1/5', { tempo: at(90) } as never), at(151)),
    ).toBe(false);
    const laid = layForm(standardForm('two-a-bar')!, { letter: 'B', alter: -1 });
    if (!laid.ok) throw new Error('the form is none');
    const usable = usablePhrases([run(90), run(170)], laid.value, {});
    expect(usable).toEqual([1]);
  });

  it("counts less the further its feel and its tempo are from the form's", () => {
    const [p] = samples;
    const swung = { kind: 'swing', unit: 'eighth', first: 2, second: 1 } as const;
    const of = (bpm: number, feel: typeof swung | { readonly kind: 'straight' }) =>
      writtenScore(
        { ...p!, feel, tempo: { bpm, unit: 'quarter' } },
        { feel: swung, tempo: { bpm: 120, unit: 'quarter' } },
      );
    expect([of(120, swung), of(100, swung), of(170, swung)]).toEqual([
      -0,
      -0,
      expect.closeTo(-0.0025, 3),
    ]);
    expect(of(120, { kind: 'straight' })).toBe(-1);
    expect(of(30, swung)).toBe(-1.5);
    const slow = { feel: { kind: 'straight' }, tempo: { bpm: 60, unit: 'quarter' } } as const;
    expect(writtenWords(slow, { feel: swung, tempo: { bpm: 120, unit: 'quarter' } })).toEqual([
      'was written straight',
      'was written for a much slower tempo',
    ]);
    expect(writtenWords(slow, slow)).toEqual([]);
  });
});

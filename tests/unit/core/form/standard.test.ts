import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { STANDARD_FORMS, standardForm } from '../../../../src/core/form/standard';
import { formatChord } from '../../../../src/core/theory/chord';
import { parseKey, twelveKeys } from '../../../../src/core/theory/key';

const bars = (id: string, key: string) => {
  const laid = layForm(standardForm(id)!, parseKey(key)!.tonic);
  if (!laid.ok) throw new Error(laid.problems[0]?.message);
  return laid.value.bars.map((b) => b.map((c) => (c === null ? 'N.C.' : formatChord(c))).join(' '));
};

// The changes as every player knows them (common practice).
describe('standard forms', () => {
  it('a twelve-bar blues in G', () => {
    expect(bars('blues', 'G')).toEqual('G7 G7 G7 G7 C7 C7 G7 G7 D7 C7 G7 D7'.split(' '));
  });

  it('a minor blues in A', () => {
    expect(bars('minor-blues', 'A')).toEqual(
      'Am7 Am7 Am7 Am7 Dm7 Dm7 Am7 Am7 F7 E7 Am7 E7'.split(' '),
    );
  });

  it('an AABA in B flat has four sections of eight bars', () => {
    const laid = layForm(standardForm('aaba')!, parseKey('Bb')!.tonic);
    expect(laid.ok && laid.value.sectionStarts).toEqual([1, 9, 17, 25]);
    expect(bars('two-a-bar', 'Bb').slice(0, 2)).toEqual(['Bb G7', 'Cm7 F7']);
  });

  it('are laid out in every key', () => {
    for (const form of STANDARD_FORMS) {
      for (const key of twelveKeys({ tonic: { letter: 'C', alter: 0 }, mode: form.mode })) {
        expect(layForm(form, key.tonic).ok, form.id).toBe(true);
      }
    }
  });

  it('say which numeral of which bar is none', () => {
    const form = {
      ...standardForm('blues')!,
      sections: [
        { name: '', bars: 'I7|IV7' },
        { name: 'B', bars: 'I7|H' },
      ] as const,
    };
    const laid = layForm(form, parseKey('C')!.tonic);
    expect(laid.ok ? null : laid.problems[0]).toMatchObject({ bar: 4 });
  });
});

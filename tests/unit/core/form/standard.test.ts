import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { formPlayed } from '../../../../src/core/form/played';
import { repeatForm } from '../../../../src/core/form/repeat';
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

  it('turn round between choruses and end after the last', () => {
    const laid = layForm(standardForm('blues-ending')!, parseKey('A')!.tonic);
    if (!laid.ok) throw new Error(laid.problems[0]?.message);
    const names = (choruses: number) =>
      repeatForm(laid.value, choruses).bars.map((b) => b.map((c) => formatChord(c!)).join(' '));
    expect(names(1)).toHaveLength(12);
    expect(names(1).slice(-2)).toEqual(['A7 D7', 'A7']);
    expect(names(2).slice(10, 12)).toEqual(['A7 D7', 'A7 E7']);
    expect(names(2).slice(-2)).toEqual(['A7 D7', 'A7']);
  });

  it('are played in another metre, tempo and feel', () => {
    const blues = standardForm('blues')!;
    const twelve = formPlayed(blues, { meter: { beats: 12, beatType: 8 } });
    expect(twelve.tempo).toEqual({ bpm: 110, unit: 'dotted-quarter' });
    expect(twelve.feel).toEqual({ kind: 'straight' });
    expect(formPlayed(twelve, { meter: blues.meter })).toEqual(blues);
    expect(formPlayed(blues, {})).toEqual(blues);
    const straight = { kind: 'straight' } as const;
    expect(formPlayed(blues, { bpm: 72, feel: straight })).toEqual({
      ...blues,
      feel: straight,
      tempo: { bpm: 72, unit: 'quarter' },
    });
    const halves = { ...blues, tempo: { bpm: 60, unit: 'half' } } as const;
    expect(formPlayed(halves, { meter: { beats: 6, beatType: 8 } }).tempo).toEqual(halves.tempo);
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

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { barCount, numeralProblems, writtenOut } from '../../../../src/core/form/numerals';
import {
  ownFormOf,
  shiftSection,
  withoutSection,
  withSection,
} from '../../../../src/core/form/own';
import { repeatForm } from '../../../../src/core/form/repeat';
import { STANDARD_FORMS, standardForm } from '../../../../src/core/form/standard';
import { type Form, formOfOwn } from '../../../../src/core/form/types';
import { decodeForm } from '../../../../src/io/json/decode-lesson';

const blues = standardForm('blues')!;
const FOUR = { beats: 4, beatType: 4 } as const;
const C = { letter: 'C', alter: 0 } as const;

describe('numerals of a form', () => {
  it('are right exactly where the form can be laid out', () => {
    const word = fc.constantFrom(
      'I7',
      'bVII',
      'ii7',
      '#iv°7',
      'N.C.',
      '|',
      '| ',
      ' ',
      'Q7',
      'IVx',
      'V7 ',
      '%',
      '| % |',
    );
    const met = { right: 0, wrong: 0 };
    fc.assert(
      fc.property(fc.array(word, { maxLength: 9 }), (words) => {
        const bars = words.join(' ');
        const form: Form = { ...blues, sections: [{ name: '', bars: writtenOut(bars) }] };
        const right = numeralProblems(bars, 'blues', FOUR).length === 0;
        met[right ? 'right' : 'wrong']++;
        expect(right).toBe(bars.trim() !== '' && layForm(form, C).ok);
      }),
      { seed: 14, numRuns: 400 },
    );
    expect(Math.min(met.right, met.wrong)).toBeGreaterThan(40);
  });

  it('name the bar and the character of what is wrong', () => {
    const place = (text: string) =>
      numeralProblems(text, 'blues', FOUR).map((p) => [p.bar, text.slice(p.column! - 1)]);
    expect(place('I7 | IV7 Q7 | V7')).toEqual([[2, 'Q7 | V7']]);
    expect(place('I7 | | V7')).toEqual([[2, ' | V7']]);
    expect(place('I7 | C7')).toEqual([[2, 'C7']]);
    expect(place('I I I I I | V7')).toEqual([[1, 'I | V7']]);
  });

  it.each([
    ['I7 | % | ii7 V7 | %', 'I7 | I7 | ii7 V7 | ii7 V7'],
    ['| I7 | \u{1d10e} | % |', '| I7 | I7 | I7 |'],
    ['I7|%|  %', 'I7|I7|  I7'],
    ['N.C. | %', 'N.C. | N.C.'],
    ['I7 | IV7', 'I7 | IV7'],
  ])('are written out where a bar is the one before: %j', (text, full) => {
    expect(numeralProblems(text, 'blues', FOUR)).toEqual([]);
    expect(writtenOut(text)).toBe(full);
    expect(barCount({ sections: [{ name: '', bars: text }] })).toBe(
      barCount({ sections: [{ name: '', bars: full }] }),
    );
  });

  // How people write forms elsewhere: each is told where it is and what to do instead.
  it.each([
    ['% | I7', 1, 'Begin with a numeral.'],
    ['I7 %', 4, 'A % is the whole bar before, and stands alone in its bar.'],
    ['I7 | VIII', 6, 'Numerals go from I to VII, or from i to vii.'],
    ['iV7', 1, 'Numerals go from I to VII, or from i to vii.'],
    ['I7, IV7', 3, 'Divide bars with |, and the numerals of a bar with spaces.'],
    ['I7-IV7', 3, 'Divide bars with |, and the numerals of a bar with spaces.'],
    ['I7 → IV7', 4, 'Divide bars with |, and the numerals of a bar with spaces.'],
    ['ii7V7', 4, 'Divide numerals with a space: ii7 V7.'],
    ['I7,IV7', 4, 'Divide numerals with a space: I7 IV7.'],
    ['I7 ¦ IV7', 4, 'Divide bars with |.'],
    [
      'I7 || IV7',
      5,
      'Write a numeral, % for the bar before, or N.C. for none; bars are divided by one |.',
    ],
    ['|: I7 :|', 2, 'Write bars that come again once more; % is the bar before.'],
    ['I7 x2', 4, 'Write bars that come again once more; % is the bar before.'],
    [
      'I7 / / /',
      4,
      'Beats are not written: the numerals of a bar share them. Write % for the bar before.',
    ],
    ['I m7', 3, 'Write Im7 without a space.'],
    ['IV 7', 4, 'Write IV7 without a space.'],
    ['17 | 47', 1, 'Count in roman numerals: IV7 for 47, bVII for b7.'],
    ['l7', 1, 'Write I with a capital i.'],
    ['Ⅳ7', 1, 'Write it with letters: Ⅳ is IV.'],
    ['(I7)', 1, 'Leave out the brackets around it.'],
    ['Vb', 2, 'Write the sign before the numeral: bV.'],
    ['I7!', 3, 'Write it like ii7b5, V7(b9), IVmaj9 or I/3.'],
    ['H7', 1, 'Write one such as IV7 or ii7, N.C. for none, or % for the bar before.'],
    ['I'.repeat(300), 81, 'Use at most 80 characters.'],
    ['I7'.repeat(30), 3, 'Divide bars with |, and the numerals of a bar with spaces.'],
    [`${'V7 '.repeat(4)}${'| %'.repeat(400)}`, 1, 'Divide it into several sections.'],
  ])('%j: says where and what to do', (text, column, fix) => {
    const [p] = numeralProblems(text, 'blues', FOUR);
    expect(p?.column).toBe(column);
    expect(p?.fix).toBe(fix);
  });
});

describe("a form of one's own", () => {
  const own = ownFormOf(blues, { id: 'f1', now: '2026-01-01T00:00:00.000Z' });

  it('is a form that the library takes, however its sections are put', () => {
    const more = withSection(own, 1, { name: 'ending', bars: 'IV7 | I7' });
    const all = [own, more, shiftSection(more, 1, -1), withoutSection(more, 0)];
    for (const form of all) expect(decodeForm(form)).toEqual({ ok: true, value: form });
    expect(all.map(barCount)).toEqual([12, 14, 14, 2]);
    expect(withoutSection(own, 0)).toBe(own);
    expect(shiftSection(more, 0, -1)).toBe(more);
  });

  it('has its intro once, and its ending in place of the last turnaround', () => {
    const [body] = blues.sections;
    const form = formOfOwn({
      ...own,
      sections: [
        { name: 'intro', bars: 'V7 | V7' },
        { ...body, name: 'A' },
        { name: 'turnaround', bars: 'I7 V7|' },
        { name: 'ending', bars: 'I7 | I7' },
      ],
    });
    const laid = layForm(form, C);
    if (!laid.ok) throw new Error(laid.problems[0]?.message);
    expect(repeatForm(laid.value, 1).bars.length).toBe(2 + 12 + 2);
    const two = repeatForm(laid.value, 2);
    expect(two.bars.length).toBe(2 + 12 + 1 + 12 + 2);
    expect(two.sectionStarts).toEqual([1, 3, 15, 16, 28]);
  });

  it('of the standard ones repeats as it is, where no section has a place of its own', () => {
    for (const form of STANDARD_FORMS.filter((f) => f.id !== 'blues-ending')) {
      const laid = layForm(form, C);
      if (!laid.ok) throw new Error(form.id);
      expect(repeatForm(laid.value, 1)).toEqual(laid.value);
      expect(repeatForm(laid.value, 3).bars).toEqual([1, 2, 3].flatMap(() => laid.value.bars));
    }
  });
});

import { describe, expect, it } from 'vitest';
import { formPlayed } from '../../../../src/core/form/played';
import { STANDARD_FORMS, standardForm } from '../../../../src/core/form/standard';
import { formUnder } from '../../../../src/core/form/under';
import { overForm } from '../../../support/over-form';

describe('the form under a phrase', () => {
  it.each(STANDARD_FORMS.map((f) => [f.id, f] as const))('%s is told by its chords', (_, form) => {
    for (const choruses of [1, 2, 3]) {
      expect(formUnder(overForm(form, choruses, 5040))).toEqual(form);
    }
  });

  it('is told in another metre and feel, as it is played there', () => {
    const twelve = formPlayed(standardForm('blues')!, { meter: { beats: 12, beatType: 8 } });
    const found = formUnder(overForm(twelve, 1))!;
    expect([found.meter, found.feel]).toEqual([twelve.meter, twelve.feel]);
    expect(found.sections).toEqual(twelve.sections);
  });

  it('is one of somebody’s own first, and that of its title before', () => {
    const blues = standardForm('blues')!;
    const mine = { ...blues, id: 'mine', title: 'Ferry blues' };
    expect(formUnder(overForm(blues, 1), [mine])).toBe(mine);
    expect(formUnder(overForm(blues, 1, 0, 'Solo over twelve-bar blues in E♭'), [mine])).toBe(
      blues,
    );
    const other = { ...mine, feel: { kind: 'straight' } as const };
    expect(formUnder(overForm(blues, 1), [other])).toBe(blues);
  });

  it('is none where a chord is another, a bar is missing or the metre changes', () => {
    const p = overForm(standardForm('blues')!, 1);
    const [first, ...rest] = p.chords;
    expect(formUnder({ ...p, chords: [{ ...first!, symbol: null }, ...rest] })).toBeNull();
    expect(formUnder({ ...p, bars: p.bars.slice(1) })).toBeNull();
    expect(formUnder({ ...p, chords: [] })).toBeNull();
    const three = { meter: { beats: 3, beatType: 4 } } as const;
    expect(formUnder({ ...p, bars: [...p.bars.slice(1), three] })).toBeNull();
  });
});

import { describe, expect, it } from 'vitest';
import { chordsInTurn } from '../../../../src/core/form/chords';
import { STANDARD_FORMS, standardForm } from '../../../../src/core/form/standard';
import { takesOf } from '../../../../src/core/practice/takes';
import { build } from '../../../support/build';

describe('the chords of a form in turn', () => {
  it('are each named once for as long as they stay', () => {
    // Twelve bars of blues as handbooks lay them out (common practice).
    expect(chordsInTurn(standardForm('blues')!)).toEqual([
      ...['I7', 'IV7', 'I7', 'V7', 'IV7', 'I7', 'V7'],
    ]);
    expect(
      chordsInTurn({ sections: [{ name: '', bars: 'N.C. | I7 IV7 | IV7 | N.C. | IV7' }] }),
    ).toEqual([...['I7', 'IV7']]);
  });

  it('can be practised, of every standard form', () => {
    for (const form of STANDARD_FORMS) {
      const phrase = build('q 3/5 q 2/5 h 1/5', {
        key: form.mode === 'minor' ? 'A minor' : 'A',
        chords: 'A7',
        meter: '4/4',
      });
      const text = chordsInTurn(form).join(' ');
      expect(takesOf(phrase, { kind: 'list', text }).ok, form.title).toBe(true);
    }
  });
});

import { describe, expect, it } from 'vitest';
import { typesetText } from '../../../../src/io/text/signs';

describe('typeset accidentals in what was typed', () => {
  it.each([
    ['Bb blues', 'B♭ blues'],
    ['A blues', 'A blues'],
    ['F# minor', 'F♯ minor'],
    ['Bb', 'B♭'],
    ['Bb4', 'B♭4'],
    ['Ebm7 | Abmaj7 Dbdim', 'E♭m7 | A♭maj7 D♭dim'],
    ['bVII7 bIII iv', '♭VII7 ♭III iv'],
    ['C7b9#11, F7/Bb', 'C7♭9♯11, F7/B♭'],
    ['b3 5 b7', '♭3 5 ♭7'],
    ['Ebb', 'E♭♭'],
    ['Absent but above, obvious: Ebbing', 'Absent but above, obvious: Ebbing'],
  ])('%s', (typed, shown) => {
    expect(typesetText(typed)).toBe(shown);
  });
});

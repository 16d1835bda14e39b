import { describe, expect, it } from 'vitest';
import { canonicalSymbol } from '../../../../src/core/theory/chord';
import { parseKey } from '../../../../src/core/theory/key';
import { chordFields, textToStore } from '../../../../src/ui/write/parts/chord-draft';

const E_FLAT = parseKey('Eb')!;

function stored(text: string) {
  const symbol = canonicalSymbol(text);
  if (!symbol.ok) throw new Error(text);
  return { onset: 0, symbol: symbol.value };
}

describe('the two fields of a chord', () => {
  it('show what is stored', () => {
    expect(chordFields(stored('Abmaj7'), null, E_FLAT)).toEqual({
      symbol: 'Abmaj7',
      numeral: 'IVmaj7',
      problem: null,
    });
    expect(chordFields({ onset: 0, symbol: null }, null, E_FLAT).numeral).toBe('N.C.');
  });

  it('follow each other while one is typed, which stays as it is typed', () => {
    const symbol = chordFields(stored('Eb'), { as: 'symbol', text: ' B♭7' }, E_FLAT);
    expect(symbol).toEqual({ symbol: ' B♭7', numeral: 'V7', problem: null });
    const numeral = chordFields(stored('Eb'), { as: 'numeral', text: 'vi7' }, E_FLAT);
    expect(numeral).toEqual({ symbol: 'Cm7', numeral: 'vi7', problem: null });
  });

  it('tell what is wrong, with nothing in the other field, and store nothing', () => {
    const draft = { as: 'symbol', text: 'Q7' } as const;
    const fields = chordFields(stored('Eb'), draft, E_FLAT);
    expect(fields).toMatchObject({ symbol: 'Q7', numeral: '' });
    expect(fields.problem).toMatch(/Q/u);
    expect(textToStore(draft, E_FLAT)).toBeNull();
    // A numeral is none in the field for symbols, and the other way round.
    expect(textToStore({ as: 'symbol', text: 'IV7' }, E_FLAT)).toBeNull();
    expect(textToStore({ as: 'numeral', text: 'Ab7' }, E_FLAT)).toBeNull();
  });

  it('store a symbol whichever was typed, no chord, or nothing', () => {
    expect(textToStore({ as: 'numeral', text: 'V7' }, E_FLAT)).toBe('Bb7');
    expect(textToStore({ as: 'numeral', text: 'n.c.' }, E_FLAT)).toBe('N.C.');
    expect(textToStore({ as: 'symbol', text: '  ' }, E_FLAT)).toBe('');
  });
});

import { describe, expect, it } from 'vitest';
import { readTerms } from '../../../../src/core/library/terms';

describe('terms', () => {
  it('are told apart', () => {
    expect(readTerms('  level 3  IV7 blues ♭3 12 bars ').map((t) => t.kind)).toEqual([
      'level',
      'numeral',
      'text',
      'degree',
      'bars',
    ]);
    expect(readTerms('')).toEqual([]);
  });
});

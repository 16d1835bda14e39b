import { describe, expect, it } from 'vitest';
import { factsOf } from '../../../../src/core/library/facts';
import { foldText } from '../../../../src/core/library/fold';
import { formatDegree } from '../../../../src/core/theory/degree';
import { build } from '../../../support/build';

const names = (f: ReturnType<typeof factsOf>) => f.degrees.map(formatDegree);

describe('facts of a phrase', () => {
  it('degrees are against the owner chord, each once, from R upwards, bends with start and target', () => {
    // G7, example 1 of the worked examples (common practice): 4→5 bent full with 6→♭7 bent ½.
    const p = build('q 3/5(bend:D4)+2/5=E(bend:F4) 3/4 3/4 1/3', { key: 'G blues', chords: 'G7' });
    expect(names(factsOf(p))).toEqual(['R', '3', '4', '5', '6', 'b7']);
  });

  it('degrees are against the key where there is no chord', () => {
    const p = build('q 3/7 2/8', { key: 'Eb' });
    // D4 and G4 in E♭ major.
    expect(names(factsOf(p))).toEqual(['3', '7']);
  });

  it('chords stand once, in the order they sound, without N.C.', () => {
    const p = build('w 3/7 | 3/7 | 3/7 | 3/7', { chords: 'F7 | NC | Bb7 | F7' });
    expect(factsOf(p).chords).toEqual(['F7', 'Bb7']);
  });

  it('the text has everything that words are looked for in', () => {
    const p = build('w 3/7', {
      title: 'Señor Tide',
      key: 'F#m',
      chords: 'Bm7',
      meta: { styleOf: 'slow air', source: 'harbour book', tags: ['Waltz'], notes: 'hear the ♭7' },
    });
    const { text } = factsOf(p);
    for (const word of ['senor', 'slow air', 'harbour', 'waltz', 'b7', 'f#m', 'minor', 'bm7']) {
      expect(text).toContain(word);
    }
    expect(factsOf(p).styleOf).toBe('slow air');
    expect(factsOf(p).level).toBeNull();
  });

  it('is read once for each phrase', () => {
    const p = build('w 3/7');
    expect(factsOf(p)).toBe(factsOf(p));
    expect(factsOf({ ...p })).not.toBe(factsOf(p));
  });
});

describe('folded text', () => {
  it('typed and typeset signs are the same', () => {
    expect(foldText('B♭7 — F♯m,  𝄫7\n‘Señor’')).toBe("bb7 - f#m, bb7 'senor'");
  });
});

import { describe, expect, it } from 'vitest';
import type { ChordSymbol } from '../../../../src/core/phrase/types';
import {
  canonicalSymbol,
  chordFrom,
  chordOf,
  chordSign,
  chordTones,
  formatChord,
  formatQuality,
  hasMajorThird,
  hasPerfectFifth,
  hasSeventh,
  isNoChord,
  parseChord,
  thirdOf,
  transposeChord,
} from '../../../../src/core/theory/chord';
import { formatDegree } from '../../../../src/core/theory/degree';
import { chord, degreesText, pc, tonesText } from '../../../support/theory';

/** Canonical quality, its tones as degrees, and other spellings of it. Common practice. */
const QUALITIES: readonly (readonly [string, string, ...string[]])[] = [
  ['', 'R 3 5', 'maj', 'M', 'major', 'Maj', 'MAJ', ' '],
  ['m', 'R b3 5', 'min', 'mi', '-', '−', 'minor', 'MIN', 'Min', 'MI'],
  ['dim', 'R b3 b5', '°', 'o', 'º', 'diminished', 'm(b5)', 'm-5', 'mb5', 'Dim'],
  ['aug', 'R 3 #5', '+', '(#5)', '+5', 'augmented', 'maj+5', '(♯5)', 'M#5'],
  ['5', 'R 5', '(no3)', 'no3', 'omit3', ' no 3', '(omit 3rd)', 'mno3'],
  ['sus4', 'R 4 5', 'sus', '(sus4)', 'Sus4', ' sus 4', 'msus4', 'suspended4'],
  ['sus2', 'R 2 5', '(sus2)', 'Sus2'],
  ['sus4add2', 'R 2 4 5', 'sus2sus4', 'sus24', 'sus42', 'sus4sus2'],
  ['6', 'R 3 5 6', 'maj6', 'M6', 'add6', '(add6)', 'ma6'],
  ['6/9', 'R 2 3 5 6', '69', '6(9)', '6add9', '6(add9)', 'M69', 'maj6/9', '6,9', '6 9'],
  ['m6', 'R b3 5 6', 'min6', '-6', 'mi6', 'm(add6)'],
  ['m6/9', 'R 2 b3 5 6', 'm69', '-6/9', 'm6add9', 'm6(9)'],
  ['add9', 'R 2 3 5', '(add9)', 'add 9', '(9)', 'maj(add9)', 'Add9'],
  ['add2', 'R 2 3 5', '2', '(add2)'],
  ['add11', 'R 3 4 5', '(add11)', '(11)'],
  ['add4', 'R 3 4 5', '(add4)'],
  ['madd9', 'R 2 b3 5', 'm(add9)', '-add9', 'minadd9', 'm(9)', 'mAdd9'],
  ['madd11', 'R b3 4 5', 'm(add11)'],
  ['7', 'R 3 5 b7', 'dom7', '7', '(add b7)', 'addb7', 'add7'],
  ['9', 'R 2 3 5 b7', 'dom9', '7(9)', '7add9', '7,9'],
  ['11', 'R 2 3 4 5 b7', 'dom11', '9(11)', '9add11'],
  ['13', 'R 2 3 4 5 6 b7', 'dom13', '11(13)', '11add13', '9(11,13)'],
  ['13no11', 'R 2 3 5 6 b7', '13(no11)', '9add13', '9(13)', '13 omit 11'],
  ['7add13', 'R 3 5 6 b7', '7(13)', '7(add13)'],
  ['maj7', 'R 3 5 7', 'M7', 'Δ', 'Δ7', '△', '∆7', '^7', 'ma7', 'j7', 'Maj7', 'MA7', '7M', '(maj7)'],
  ['maj9', 'R 2 3 5 7', ' major 9', 'M9', 'Δ9', 'ma9', 'maj7(9)', 'maj7add9', '^9'],
  ['maj11', 'R 2 3 4 5 7', 'M11', 'Δ11', 'maj9(11)'],
  ['maj13', 'R 2 3 4 5 6 7', 'M13', 'Δ13', 'maj11(13)'],
  ['m7', 'R b3 5 b7', ' minor 7', 'min7', 'mi7', '-7', '−7', 'Min7', 'MI7', 'minor7'],
  ['m9', 'R 2 b3 5 b7', 'min9', '-9', 'mi9', 'm7(9)', 'm7add9'],
  ['m11', 'R 2 b3 4 5 b7', 'min11', '-11', 'm9(11)'],
  ['m7add11', 'R b3 4 5 b7', 'm7(11)', '-7(add11)'],
  ['m13', 'R 2 b3 4 5 6 b7', 'min13', '-13', 'm11(13)'],
  [
    'm(maj7)',
    'R b3 5 7',
    ...['mMaj7', 'm/maj7', 'minmaj7', '-Δ', '-Δ7', 'mM7', 'm(M7)', 'mmaj7', '-maj7', 'm/M7'],
    ...['mΔ', 'm^7', 'm(#7)', 'm#7', 'min(maj7)', 'm add maj7', 'm7M'],
  ],
  ['m(maj9)', 'R 2 b3 5 7', 'mM9', 'mMaj9', '-Δ9', 'm9(maj7)', 'm(maj7)add9'],
  ['m(maj11)', 'R 2 b3 4 5 7', 'mMaj11'],
  ['m7b5', 'R b3 b5 b7', 'ø', 'ø7', 'm7(b5)', '-7b5', 'm7-5', 'min7b5', 'Ø7', '-7(♭5)', 'mi7(b5)'],
  ['m9b5', 'R 2 b3 b5 b7', 'ø9', 'm9(b5)', 'm7b5(9)', 'm7b5add9'],
  ['m11b5', 'R 2 b3 4 b5 b7', 'ø11', 'm7b5(9,11)'],
  ['m7b5add11', 'R b3 4 b5 b7', 'ø7(11)', 'm7b5(11)'],
  ['m7b5b9', 'R b2 b3 b5 b7', 'm7(b5,b9)', 'ø(b9)'],
  ['dim7', 'R b3 b5 bb7', '°7', 'o7', 'º7', 'mb5(bb7)', 'diminished7'],
  ['dim(maj7)', 'R b3 b5 7', '°M7', 'dimM7', '°(maj7)', 'oΔ', 'mMaj7b5', 'm(maj7)(b5)'],
  ['dim7addmaj7', 'R b3 b5 bb7 7', '°7(maj7)', 'o7M7'],
  ['7#5', 'R 3 #5 b7', '+7', 'aug7', '7+', '7+5', '7(#5)', '7aug', '7♯5', 'aug(add7)'],
  ['9#5', 'R 2 3 #5 b7', '9+', '+9', 'aug9', '9(+5)', '7#5(9)'],
  ['7b5', 'R 3 b5 b7', '7-5', '7(b5)', '7−5', '7(-5)', '7♭5'],
  ['9b5', 'R 2 3 b5 b7', '9-5', '9(b5)'],
  ['maj7#5', 'R 3 #5 7', 'maj7+5', '+M7', 'augmaj7', 'M7+', 'Δ#5', 'maj7(#5)', 'aug(maj7)'],
  ['maj7b5', 'R 3 b5 7', 'maj7-5', 'M7b5', 'Δ7(b5)'],
  ['maj7#11', 'R 3 #4 5 7', 'Δ#11', 'M7(#11)', 'maj7+11', 'maj7#4'],
  ['maj9#11', 'R 2 3 #4 5 7', 'M9#11', 'maj9(#11)'],
  ['maj13#11', 'R 2 3 #4 5 6 7', 'Δ13#11'],
  ['7b9', 'R b2 3 5 b7', '7-9', '7(b9)', '7♭9', '7(-9)', '7addb9', '7[b9]'],
  ['7#9', 'R #2 3 5 b7', '7+9', '7(#9)', '7♯9'],
  ['7#11', 'R 3 #4 5 b7', '7+11', '7(#11)', '7#4'],
  ['7b13', 'R 3 5 b6 b7', '7-13', '7(b13)'],
  ['7b9#9', 'R b2 #2 3 5 b7', '7(b9,#9)', '7#9b9', '7(#9/b9)'],
  ['7b9#11', 'R b2 3 #4 5 b7', '7(#11,b9)', '7(b9)(#11)', '7(b9 #11)', '7 b9 #11'],
  ['7b9b13', 'R b2 3 5 b6 b7', '7(b9,b13)', '7b13b9'],
  ['7b5b9', 'R b2 3 b5 b7', '7b9b5', '7(b5,b9)'],
  ['7b5#9', 'R #2 3 b5 b7', '7#9b5'],
  ['7#5b9', 'R b2 3 #5 b7', '7b9#5', '+7b9', '7+(b9)', 'aug7b9'],
  ['7#5#9', 'R #2 3 #5 b7', '7#9#5', '+7#9'],
  ['7b5#5', 'R 3 b5 #5 b7', '7#5b5'],
  ['7b9#9#11b13', 'R b2 #2 3 #4 5 b6 b7', '7(b13,#11,#9,b9)'],
  ['9#11', 'R 2 3 #4 5 b7', '9+11', '9(#11)', '7(9,#11)'],
  ['9b13', 'R 2 3 5 b6 b7', '7(9,b13)'],
  ['11b9', 'R b2 3 4 5 b7', '11(b9)'],
  ['13b9', 'R b2 3 4 5 6 b7', '13(b9)', '13-9'],
  ['13#9', 'R #2 3 4 5 6 b7', '13(+9)'],
  ['13#11', 'R 2 3 #4 5 6 b7', '13(#11)', '13#4'],
  ['7b9add13', 'R b2 3 5 6 b7', '7b9(13)', '7(b9,13)'],
  ['7alt', 'R b2 #2 3 b5 b6 b7', 'alt', '7(alt)', '7 alt', 'Alt', 'altered'],
  ['7sus4', 'R 4 5 b7', '7sus', '7(sus4)', 'sus7', 'sus4(add b7)'],
  ['7sus2', 'R 2 5 b7', '7(sus2)'],
  ['9sus4', 'R 2 4 5 b7', '9sus', 'sus9', '7sus4(9)', '11sus4'],
  ['13sus4', 'R 2 4 5 6 b7', '13sus', 'sus13', '9sus4(13)'],
  ['7sus4b9', 'R b2 4 5 b7', '7sus(b9)', '7b9sus4', '7sus4(b9)'],
  ['maj7sus4', 'R 4 5 7', 'M7sus4', 'Δsus'],
  ['6sus4', 'R 4 5 6', '6sus', 'sus4add6'],
  ['sus4add9', 'R 2 4 5', 'sus4(9)', 'add9sus4'],
  ['7no3', 'R 5 b7', '7(no3)', '7omit3', '7 no 3rd'],
  ['7no5', 'R 3 b7', '7(no5)', '7(omit 5)', '7no5th'],
  ['no5', 'R 3', '(no5)'],
  ['9no3', 'R 2 5 b7', '9(omit3)'],
  ['add9no3', 'R 2 5', '5add9', '(add9,no3)'],
  ['maj7no1', '3 5 7', 'maj7(noR)', 'M7 omit root'],
  ['(b5)', 'R 3 b5', '-5', 'maj(b5)', 'Mb5', '(♭5)'],
  ['(b9)', 'R b2 3 5', 'addb9', '(addb9)'],
  ['m(b6)', 'R b3 5 b6', 'mb6', 'm(♭6)', 'maddb6'],
  ['m(#5)', 'R b3 #5', 'm+', 'm#5', 'm+5'],
  ['m7#5', 'R b3 #5 b7', '-7#5', 'm7+'],
  ['9addb9', 'R b2 2 3 5 b7'],
  ['addb3', 'R b3 3 5'],
];

describe('reading and writing qualities', () => {
  it.each(QUALITIES)('%j is %s', (canonical, tones, ...others) => {
    for (const root of ['G', 'Eb', 'F#']) {
      for (const text of [canonical, ...others]) {
        const c = chord(root + text);
        expect(formatChord(c), text).toBe(root + canonical);
        expect(degreesText(chordTones(c)), text).toBe(tones);
        expect(c.root).toEqual(pc(root));
        expect(c.bass).toBeNull();
      }
      expect(formatQuality(chord(root + canonical))).toBe(canonical);
    }
  });

  it('has one canonical text for each set of tones', () => {
    const texts = QUALITIES.map(([text]) => text);
    expect(new Set(texts).size).toBe(texts.length);
    expect(QUALITIES.length).toBeGreaterThan(90);
  });
});

describe('roots and basses', () => {
  it.each([
    ['C/E', 'C/E', 'R 3 5'],
    ['C/Bb', 'C/Bb', 'R 3 5 b7'],
    ['C / F♯', 'C/F#', 'R 3 #4 5'],
    ['D7/F#', 'D7/F#', 'R 3 5 b7'],
    ['Am/G', 'Am/G', 'R b3 5 b7'],
    ['C6/9/E', 'C6/9/E', 'R 2 3 5 6'],
    ['Am/maj7/C', 'Am(maj7)/C', 'R b3 5 7'],
    ['C7(b9/b13)/E', 'C7b9b13/E', 'R b2 3 5 b6 b7'],
    ['F/G', 'F/G', 'R 2 3 5'],
    ['C/Cb', 'C/Cb', 'bR R 3 5'],
    ['Bb/D', 'Bb/D', 'R 3 5'],
    ['G7alt/B', 'G7alt/B', 'R b2 #2 3 b5 b6 b7'],
    ['C/C', 'C', 'R 3 5'],
    ['B𝄫', 'Bbb', 'R 3 5'],
    ['Fx7', 'F##7', 'R 3 5 b7'],
    ['C♮7', 'C7', 'R 3 5 b7'],
    ['  A♭m7♭5 ', 'Abm7b5', 'R b3 b5 b7'],
    ['Abb5', 'Abb5', 'R 5'],
    ['Ab(b5)', 'Ab(b5)', 'R 3 b5'],
    ['D#dim', 'D#dim', 'R b3 b5'],
    ['Edim', 'Edim', 'R b3 b5'],
    ['Bb7', 'Bb7', 'R 3 5 b7'],
  ])('%j is %s', (text, canonical, tones) => {
    expect(formatChord(chord(text))).toBe(canonical);
    expect(tonesText(text)).toBe(tones);
  });
});

describe('the page', () => {
  it.each([
    ['G', 'G'],
    ['Bbm7', 'B♭m7'],
    ['F#dim7', 'F♯°7'],
    ['Ebdim', 'E♭°'],
    ['Em7b5', 'Eø7'],
    ['Em9b5', 'Em9♭5'],
    ['Caug', 'C+'],
    ['G7#5', 'G7♯5'],
    ['G7b9#11', 'G7♭9♯11'],
    ['C/Bb', 'C/B♭'],
    ['Bdim(maj7)', 'B°(maj7)'],
    ['Abbmaj7', 'A𝄫maj7'],
    ['Cm(maj7)', 'Cm(maj7)'],
    ['C9addb9', 'C9add♭9'],
  ])('%s is set %s', (text, sign) => {
    const symbol = canonicalSymbol(text);
    expect(symbol.ok && chordSign(symbol.value)).toBe(sign);
    expect(chordSign(chord(text))).toBe(sign);
  });

  it('is read back as the same chord', () => {
    for (const [text] of QUALITIES) {
      const c = chord(`Db${text}`);
      expect(parseChord(chordSign(c))).toEqual({ ok: true, value: c });
    }
  });
});

describe('what is not understood', () => {
  it.each([
    ['', 1, 'there is no chord symbol'],
    ['   ', 4, 'there is no chord symbol'],
    ['H7', 1, "'H7' has no chord root"],
    ['c7', 1, "'c7' has no chord root"],
    ['  g', 3, "'g' has no chord root"],
    ['C7x', 3, "'x' is not understood"],
    ['Cmaj7foo(b9)', 6, "'foo' is not understood"],
    ['Am7b', 4, "'b' is not understood"],
    ['C14', 2, "'14' is not understood"],
    ['C4', 2, "'4' is not understood"],
    ['C8', 2, "'8' is not understood"],
    ['C7(b9', 3, 'this bracket is never closed'],
    ['C7b9)', 5, 'this bracket was never opened'],
    ['C/', 2, "'/' is not a bass note"],
    ['C/H', 2, "'/H' is not a bass note"],
    ['C/e', 2, "'/e' is not a bass note"],
    ['C7/E/G', 3, "'/E/G' is not a bass note"],
    ['C7/9', 3, "'/9' is not a bass note"],
    ['C7altb9', 6, "'b9' cannot follow 'alt'"],
    ['Cdom', 5, "'dom' wants"],
    ['C7no9', 3, 'the chord has no 9 to leave out'],
    ['C7(omit 6)', 4, 'the chord has no 6 to leave out'],
    ['Cadd##7', 2, "'add##7' has no meaning"],
    ['Caddbbb9', 2, "'addbbb9' is not understood"],
    ['N.C.', 1, 'means that there is no chord'],
    ['C<script>', 2, "'<script>' is not understood"],
  ])('%j at column %i: %s', (text, column, message) => {
    const read = parseChord(text);
    expect(read.ok).toBe(false);
    if (read.ok) return;
    expect(read.problems).toHaveLength(1);
    expect(read.problems[0]?.message).toContain(message);
    expect(read.problems[0]?.column).toBe(column);
    expect(read.problems[0]?.fix).toBeDefined();
  });

  it('is refused unread when it is enormous', () => {
    const read = parseChord(`C7${'b9'.repeat(1_000_000)}`);
    expect(read.ok ? [] : read.problems[0]?.message).toContain('2000002 characters is too long');
    expect(parseChord(`C${'('.repeat(30)}b9${')'.repeat(30)}`).ok).toBe(true);
  });
});

describe('no chord', () => {
  it.each(['N.C.', 'NC', 'n.c.', 'N.C', 'N/C', ' N. C. ', 'no chord', 'None'])('%j', (text) => {
    expect(isNoChord(text)).toBe(true);
    expect(parseChord(text).ok).toBe(false);
  });
  it.each(['', 'C', 'N', 'Cm', 'Dno3'])('%j is not that sign', (text) => {
    expect(isNoChord(text)).toBe(false);
  });
});

describe('canonical symbols', () => {
  it('are remembered as chords', () => {
    const s = canonicalSymbol('F#-7(b5)');
    if (!s.ok) throw new Error('not read');
    expect(s.value).toBe('F#m7b5');
    expect(chordOf(s.value)).toBe(chordOf(s.value));
    expect(chordOf(s.value)).toEqual(chord('F#ø'));
  });

  it.each(['F#-7(b5)', 'CM7', 'x', '', 'N.C.'])('%j is a programmer’s error', (text) => {
    expect(() => chordOf(text as ChordSymbol)).toThrow(RangeError);
  });

  it('outlast more symbols than are remembered', () => {
    const letters = ['C', 'D', 'E', 'F', 'G', 'A', 'B'];
    const signs = ['bb', 'b', '', '#', '##'];
    for (const l of letters) {
      for (const a of signs) {
        for (const [q] of QUALITIES) {
          expect(formatChord(chordOf(`${l}${a}${q}` as ChordSymbol))).toBe(`${l}${a}${q}`);
        }
      }
    }
  });
});

describe('kind and degrees (MusicXML 4.0, element degree)', () => {
  const said = (text: string) => {
    const c = chord(text);
    const degrees = c.degrees.map((d) => `${d.type} ${d.value} ${d.alter}`);
    return [c.kind, ...degrees].join(', ');
  };
  it.each([
    ['C7#5', 'augmented-seventh'],
    ['C7sus4', 'suspended-fourth, add 7 0'],
    ['C9sus4', 'suspended-fourth, add 7 0, add 9 0'],
    ['Cm(maj7)', 'major-minor'],
    ['Cm(maj9)', 'major-minor, add 9 0'],
    ['C7#9', 'dominant, add 9 1'],
    ['C7b9b13', 'dominant, add 9 -1, add 13 -1'],
    ['C7b5', 'dominant, alter 5 -1'],
    ['C7b5#5', 'dominant, alter 5 -1, add 5 1'],
    ['C13#11', 'dominant-13th, alter 11 1'],
    ['C13b9#9', 'dominant-13th, alter 9 -1, add 9 1'],
    ['Cmaj7#5', 'major-seventh, alter 5 1'],
    ['Cmaj7sus4', 'suspended-fourth, add 7 1'],
    ['C6/9', 'major-sixth, add 9 0'],
    ['Cadd9', 'major, add 9 0'],
    ['Cm9b5', 'minor-ninth, alter 5 -1'],
    ['Cdim(maj7)', 'diminished, add 7 1'],
    ['Cdim7add9', 'diminished-seventh, add 9 0'],
    ['C7no3', 'dominant, subtract 3 0'],
    ['C7alt', '7alt'],
    ['C5', 'power'],
  ])('%s is %s', (text, expected) => {
    expect(said(text)).toBe(expected);
  });

  it('brings every way of saying a chord to one form', () => {
    const from = (...args: Parameters<typeof chordFrom>) => {
      const c = chordFrom(...args);
      return c.ok ? formatChord(c.value) : c.problems[0]?.message;
    };
    const c = pc('C');
    expect(from(c, 'dominant', [{ type: 'alter', value: 5, alter: 1 }])).toBe('C7#5');
    expect(from(c, 'minor-seventh', [{ type: 'alter', value: 5, alter: -1 }])).toBe('Cm7b5');
    expect(from(c, 'major', [{ type: 'add', value: 7, alter: 0 }])).toBe('C7');
    expect(from(c, 'major', [{ type: 'add', value: 7, alter: 1 }])).toBe('Cmaj7');
    expect(from(c, 'half-diminished', [{ type: 'add', value: 9, alter: 0 }])).toBe('Cm9b5');
    expect(from(c, 'minor-seventh', [{ type: 'alter', value: 7, alter: 1 }])).toBe('Cm(maj7)');
    expect(from(c, 'major', [{ type: 'subtract', value: 3, alter: 0 }])).toBe('C5');
    expect(from(c, 'dominant', [], pc('C'))).toBe('C7');
    // altering or taking away what the kind does not hold
    expect(from(c, 'dominant', [{ type: 'alter', value: 9, alter: -1 }])).toBe('C7b9');
    expect(from(c, 'dominant', [{ type: 'subtract', value: 9, alter: 0 }])).toBe('C7');
    expect(from(c, 'major', [{ type: 'add', value: 12, alter: 0 }])).toBe('C');
    // what has no name
    expect(from(c, 'diminished', [{ type: 'alter', value: 5, alter: -2 }])).toContain('no name');
    expect(from(c, 'dominant', [{ type: 'add', value: 15, alter: 0 }])).toContain('no name');
    expect(from(c, '7alt', [{ type: 'add', value: 9, alter: 0 }])).toContain('no further degrees');
    expect(from(c, '7alt', [], pc('E'))).toBe('C7alt/E');
  });
});

describe('what a chord holds (D3)', () => {
  it.each([
    // symbol, major third, perfect fifth, seventh, third
    ['C', true, true, false, '3'],
    ['C6', true, true, false, '3'],
    ['C7', true, true, true, '3'],
    ['C7#9', true, true, true, '3'],
    ['C7b5', true, false, true, '3'],
    ['Caug', true, false, false, '3'],
    ['C7alt', true, false, true, '3'],
    ['Cm', false, true, false, 'b3'],
    ['Cm7', false, true, true, 'b3'],
    ['Cm(maj7)', false, true, true, 'b3'],
    ['Cm7b5', false, false, true, 'b3'],
    ['Cdim7', false, false, true, 'b3'],
    ['Csus4', false, true, false, '4'],
    ['C7sus4', false, true, true, '4'],
    ['Csus2', false, true, false, '2'],
    ['C5', false, true, false, 'null'],
    ['C7no3', false, true, true, 'null'],
    ['Cadd9no3', false, true, false, 'null'],
    ['C/Bb', true, true, true, '3'],
    ['C5/E', true, true, false, 'null'],
  ])('%s', (text, major, fifth, seventh, third) => {
    const c = chord(text);
    expect(hasMajorThird(c)).toBe(major);
    expect(hasPerfectFifth(c)).toBe(fifth);
    expect(hasSeventh(c)).toBe(seventh);
    const t = thirdOf(c);
    expect(t === null ? 'null' : formatDegree(t)).toBe(third);
  });
});

describe('transposing a chord (P2)', () => {
  it.each([
    ['C#7', 3, 5, 'F#7'],
    ['Bbm7b5/Ab', 4, 7, 'Fm7b5/Eb'],
    ['F7alt', -1, -1, 'E7alt'],
    ['Gb', 3, 6, 'C'],
  ])('%s by %i steps, %i semitones is %s', (text, steps, semitones, expected) => {
    expect(formatChord(transposeChord(chord(text), { steps, semitones })!)).toBe(expected);
  });

  it('is null where root or bass need more than a double accidental', () => {
    expect(transposeChord(chord('F##'), { steps: 0, semitones: 1 })).toBeNull();
    expect(transposeChord(chord('D/F##'), { steps: 0, semitones: 1 })).toBeNull();
    expect(transposeChord(chord('D/F#'), { steps: 0, semitones: 1 })).not.toBeNull();
  });
});

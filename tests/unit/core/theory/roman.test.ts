import { Progression, Key as TonalKey } from 'tonal';
import { describe, expect, it } from 'vitest';
import { formatChord, parseChord } from '../../../../src/core/theory/chord';
import {
  formatRoman,
  parseChordOrRoman,
  parseRoman,
  romanSign,
} from '../../../../src/core/theory/roman';
import { chord, key, tonesText } from '../../../support/theory';

const read = (text: string, inKey: string) => {
  const r = parseRoman(text, key(inKey));
  return r.ok ? formatChord(r.value) : `column ${r.problems[0]?.column}: ${r.problems[0]?.message}`;
};

describe('reading numerals (D6)', () => {
  it.each([
    // Bb major, so that no letter is right by chance
    ['I', 'Bb', 'Bb'],
    ['ii', 'Bb', 'Cm'],
    ['iii', 'Bb', 'Dm'],
    ['IV', 'Bb', 'Eb'],
    ['V', 'Bb', 'F'],
    ['vi', 'Bb', 'Gm'],
    ['vii°', 'Bb', 'Adim'],
    ['ii7', 'Bb', 'Cm7'],
    ['II7', 'Bb', 'C7'],
    ['iii7', 'Bb', 'Dm7'],
    ['III7', 'Bb', 'D7'],
    ['Imaj7', 'Bb', 'Bbmaj7'],
    ['IM7', 'Bb', 'Bbmaj7'],
    ['IΔ', 'Bb', 'Bbmaj7'],
    ['IVmaj7', 'Bb', 'Ebmaj7'],
    ['IV7#11', 'Bb', 'Eb7#11'],
    ['I6', 'Bb', 'Bb6'],
    ['I6/9', 'Bb', 'Bb6/9'],
    ['i6/9', 'Bb', 'Bbm6/9'],
    ['vi9', 'Bb', 'Gm9'],
    ['vi11', 'Bb', 'Gm11'],
    ['V7sus4', 'Bb', 'F7sus4'],
    ['Vsus', 'Bb', 'Fsus4'],
    ['V13', 'Bb', 'F13'],
    ['V7alt', 'Bb', 'F7alt'],
    ['V7(b9,b13)', 'Bb', 'F7b9b13'],
    ['V+', 'Bb', 'Faug'],
    ['V+7', 'Bb', 'F7#5'],
    ['V5', 'Bb', 'F5'],
    ['vii°7', 'Bb', 'Adim7'],
    ['viio7', 'Bb', 'Adim7'],
    ['viidim7', 'Bb', 'Adim7'],
    ['viiø7', 'Bb', 'Am7b5'],
    ['viiø', 'Bb', 'Am7b5'],
    ['ii7b5', 'Bb', 'Cm7b5'],
    ['#ivø7', 'Bb', 'Em7b5'],
    ['♯iv°7', 'Bb', 'Edim7'],
    ['bVII7', 'Bb', 'Ab7'],
    ['♭VII', 'Bb', 'Ab'],
    ['bII7', 'Bb', 'Cb7'],
    ['bbVII', 'Bb', 'Abb'],
    ['i m7', 'Bb', 'Bbm7'],
    ['im7', 'Bb', 'Bbm7'],
    ['IIm7', 'Bb', 'Cm7'],
    ['II-7', 'Bb', 'Cm7'],
    ['i(maj7)', 'Bb', 'Bbm(maj7)'],
    ['imaj7', 'Bb', 'Bbm(maj7)'],
    ['iΔ7', 'Bb', 'Bbm(maj7)'],
    ['iadd9', 'Bb', 'Bbmadd9'],
    ['isus4', 'Bb', 'Bbsus4'],
    ['i+', 'Bb', 'Bbm(#5)'],
    ['  V7 ', 'Bb', 'F7'],
  ])('%s in %s is %s', (text, inKey, expected) => {
    expect(read(text, inKey)).toBe(expected);
  });

  it.each([
    // In minor, bare III VI VII are lowered; everything else counts from the major scale.
    ['i', 'F#m', 'F#m'],
    ['I', 'F#m', 'F#'],
    ['iv7', 'F#m', 'Bm7'],
    ['v', 'F#m', 'C#m'],
    ['V7', 'F#m', 'C#7'],
    ['III', 'F#m', 'A'],
    ['VI', 'F#m', 'D'],
    ['VII', 'F#m', 'E'],
    ['VII7', 'F#m', 'E7'],
    ['VImaj7', 'F#m', 'Dmaj7'],
    ['III+', 'F#m', 'Aaug'],
    ['bIII', 'F#m', 'A'],
    ['bVI', 'F#m', 'D'],
    ['bVII', 'F#m', 'E'],
    ['♮III', 'F#m', 'A#'],
    ['nVI7', 'F#m', 'D#7'],
    ['#III', 'F#m', 'A##'],
    ['II', 'F#m', 'G#'],
    ['ii', 'F#m', 'G#m'],
    ['iiø7', 'F#m', 'G#m7b5'],
    ['bII', 'F#m', 'G'],
    ['iii', 'F#m', 'A#m'],
    ['viø7', 'F#m', 'D#m7b5'],
    ['vii°7', 'F#m', 'E#dim7'],
    ['bvii7', 'F#m', 'Em7'],
  ])('%s in %s is %s', (text, inKey, expected) => {
    expect(read(text, inKey)).toBe(expected);
  });

  it.each([
    // In a blues key bare I, IV and V are sevenths, and only these.
    ['I', 'E7', 'I7'],
    ['IV', 'A7', 'IV7'],
    ['V', 'B7', 'V7'],
    ['Imaj', 'E', 'Imaj'],
    ['Vmaj', 'B', 'Vmaj'],
    ['Imaj7', 'Emaj7', 'Imaj7'],
    ['I6', 'E6', 'I6'],
    ['IV/3', 'A7/C#', 'IV7/3'],
    ['Imaj/3', 'E/G#', 'Imaj/3'],
    ['II', 'F#', 'II'],
    ['bVII', 'D', 'bVII'],
    ['bV', 'Bb', 'bV'],
    ['♮V', 'B', 'Vmaj'],
    ['i', 'Em', 'i'],
    ['iv', 'Am', 'iv'],
    ['VI', 'C#', 'VI'],
    ['V/V', 'F#7', 'II7'],
  ])('%s in E blues is %s and is written %s', (text, expected, again) => {
    expect(read(text, 'E blues')).toBe(expected);
    expect(formatRoman(chord(expected), key('E blues'))).toBe(again);
  });

  it.each([
    ['I/3', 'D', 'D/F#'],
    ['I/5', 'D', 'D/A'],
    ['V7/3', 'D', 'A7/C#'],
    ['V7/7', 'D', 'A7/G#'],
    ['V7/b7', 'D', 'A7/G'],
    ['IV/2', 'D', 'G/A'],
    ['i/b3', 'Dm', 'Dm/F'],
    ['I/F#', 'D', 'D/F#'],
    ['I/B', 'D', 'D/B'],
    ['IV/A', 'D', 'G/A'],
    ['I6/3', 'D', 'D6/F#'],
    ['I6/9/3', 'D', 'D6/9/F#'],
    ['I / Bb', 'D', 'D/Bb'],
    ['I/♭7', 'D', 'D/C'],
    ['I/1', 'D', 'D'],
  ])('a bass after the slash: %s in %s is %s', (text, inKey, expected) => {
    expect(read(text, inKey)).toBe(expected);
  });

  it.each([
    ['V7/V', 'F', 'G7'],
    ['V/ii', 'F', 'D'],
    ['V7/vi', 'F', 'A7'],
    ['vii°7/V', 'F', 'Bdim7'],
    ['ii7/IV', 'F', 'Cm7'],
    ['iiø7/ii', 'F', 'Am7b5'],
    // A lower-case target is a minor key: its bare VI is lowered.
    ['VI/ii', 'F', 'Eb'],
    ['VI/II', 'F', 'E'],
    ['IV/bVII', 'F', 'Ab'],
    ['V7/V/V', 'F', 'D7'],
    ['V7/V/3', 'F', 'G7/B'],
    ['V7/V/F', 'F', 'G7/F'],
    ['V7/III', 'Fm', 'Eb7'],
    ['V7/iv', 'Fm', 'F7'],
    ['vii°7/V', 'Fm', 'Bdim7'],
    ['bII7/V', 'F', 'Db7'],
    ['V7alt/ii', 'F', 'D7alt'],
    ['V7sus4/IV', 'F', 'F7sus4'],
  ])('a secondary function: %s in %s is %s', (text, inKey, expected) => {
    expect(read(text, inKey)).toBe(expected);
  });

  it.each([
    ['', 'C', 'column 1: there is no numeral'],
    ['VIII', 'C', "column 1: 'VIII' is no roman numeral"],
    ['Iv', 'C', "column 1: 'Iv' is no roman numeral"],
    ['IIII', 'C', "column 1: 'IIII' is no roman numeral"],
    ['#VIII7/V', 'C', "column 1: '#VIII7/V' is no roman numeral"],
    ['X7', 'C', "column 1: 'X7' is no roman numeral"],
    [' G7', 'C', "column 2: 'G7' is no roman numeral"],
    ['V7xyz', 'C', "column 3: 'xyz' is not understood as part of a chord symbol"],
    ['V7/x', 'C', "column 3: '/x' is neither a numeral nor a bass"],
    ['V7/8', 'C', "column 3: '/8' is neither a numeral nor a bass"],
    ['V7/V7', 'C', "column 3: '/V7' is neither a numeral nor a bass"],
    ['V7/', 'C', "column 3: '/' is neither a numeral nor a bass"],
    ['V7/V/x', 'C', "column 5: '/x' is neither a numeral nor a bass"],
    ['I/3/5', 'C', "column 2: '/3/5' is neither a numeral nor a bass"],
    ['v7alt', 'C', 'column 6: an altered dominant has a major third'],
    ['imaj', 'C', "column 2: 'maj' contradicts a lower-case numeral"],
    ['bbVII', 'Cb', "column 1: 'bbVII' in Cb needs more than a double accidental"],
    ['V7/bbVII', 'Cb', "column 3: 'V7/bbVII' in Cb needs more than a double accidental"],
    ['I/##7', 'F#', "column 1: 'I/##7' in F# needs more than a double accidental"],
  ])('%j in %s is refused: %s', (text, inKey, problem) => {
    expect(read(text, inKey)).toBe(problem);
  });

  it('is refused unread when it is enormous', () => {
    expect(read(`V${'/V'.repeat(100_000)}`, 'C')).toContain('200001 characters is too long');
    expect(read(`V7${'/V'.repeat(30)}`, 'C')).toContain('double accidental');
  });
});

describe('writing numerals', () => {
  it.each([
    ['Dm7', 'C', 'ii7', 'ii7'],
    ['D7', 'C', 'II7', 'II7'],
    ['Bb7', 'C', 'bVII7', '♭VII7'],
    ['F#m7b5', 'C', '#ivø7', '♯ivø7'],
    ['Bdim7', 'C', 'vii°7', 'vii°7'],
    ['Bdim', 'C', 'vii°', 'vii°'],
    ['Gaug', 'C', 'V+', 'V+'],
    ['G7#5', 'C', 'V7#5', 'V7♯5'],
    ['G7b9', 'C', 'V7b9', 'V7♭9'],
    ['Cm(maj7)', 'C', 'i(maj7)', 'i(maj7)'],
    ['C5', 'C', 'I5', 'I5'],
    ['Dsus4', 'C', 'IIsus4', 'IIsus4'],
    ['C/E', 'C', 'I/3', 'I/3'],
    ['C/Bb', 'C', 'I/b7', 'I/♭7'],
    ['F/G', 'C', 'IV/2', 'IV/2'],
    ['C/Cb', 'C', 'I/b1', 'I/♭1'],
    ['Dm9b5', 'C', 'ii9b5', 'ii9♭5'],
    ['Ab', 'C', 'bVI', '♭VI'],
    ['Ab', 'Cm', 'VI', 'VI'],
    ['A', 'Cm', '♮VI', '♮VI'],
    ['E7', 'Cm', '♮III7', '♮III7'],
    ['E#', 'Cm', '#III', '♯III'],
    ['Ebm', 'Cm', 'biii', '♭iii'],
    ['Em', 'Cm', 'iii', 'iii'],
    ['Bdim7', 'Cm', 'vii°7', 'vii°7'],
    ['G7', 'Cm', 'V7', 'V7'],
    ['C7', 'C blues', 'I7', 'I7'],
    ['F', 'C blues', 'IVmaj', 'IVmaj'],
    ['D', 'C blues', 'II', 'II'],
    ['C/E', 'C blues', 'Imaj/3', 'Imaj/3'],
    ['Cadd9', 'C blues', 'Iadd9', 'Iadd9'],
  ])('%s in %s is %s, on the page %s', (symbol, inKey, text, sign) => {
    expect(formatRoman(chord(symbol), key(inKey))).toBe(text);
    expect(romanSign(chord(symbol), key(inKey))).toBe(sign);
    expect(read(text, inKey)).toBe(symbol);
    expect(read(sign, inKey)).toBe(symbol);
  });

  it('writes the chord itself where the root has no degree in the key', () => {
    expect(formatRoman(chord('C##7'), key('Cb'))).toBe('C##7');
    expect(parseChordOrRoman('C##7', key('Cb')).ok).toBe(true);
  });
});

describe('numerals against tonal 6.4.3', () => {
  it('finds the roots of major progressions that tonal finds', () => {
    const numerals = ['Imaj7', 'bIIImaj7', 'IV7', '#IV7', 'V7', 'bVI7', 'VI7', 'bVII7', 'VIImaj7'];
    for (const tonic of ['C', 'Eb', 'F#', 'A', 'Gb', 'B']) {
      const theirs = Progression.fromRomanNumerals(tonic, numerals);
      expect(numerals.map((n) => read(n, tonic))).toEqual(theirs);
    }
  });

  it('finds the chords and secondary dominants of every major key', () => {
    const degrees = ['I', 'ii', 'iii', 'IV', 'V', 'vi', 'vii'];
    for (const tonic of ['C', 'G', 'D', 'A', 'E', 'B', 'F#', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'Gb']) {
      const k = TonalKey.majorKey(tonic);
      const sevenths = ['Imaj7', 'ii7', 'iii7', 'IVmaj7', 'V7', 'vi7', 'viiø7'];
      expect(sevenths.map((n) => read(n, tonic))).toEqual([...k.chords]);
      k.secondaryDominants.forEach((theirs, i) => {
        if (theirs !== '') expect(read(`V7/${degrees[i]}`, tonic)).toBe(theirs);
      });
    }
  });

  it('finds the chords of natural minor', () => {
    for (const tonic of ['A', 'E', 'B', 'F#', 'C#', 'D', 'G', 'C', 'F', 'Bb']) {
      const theirs = TonalKey.minorKey(tonic).natural.chords;
      const ours = ['i7', 'iiø7', 'IIImaj7', 'iv7', 'v7', 'VImaj7', 'VII7'];
      expect(ours.map((n) => read(n, `${tonic}m`))).toEqual([...theirs]);
    }
  });
});

describe('a chord or a numeral', () => {
  it.each([
    ['Dm7', 'Dm7'],
    ['Bb7', 'Bb7'],
    ['bVII7', 'Bb7'],
    ['ii7', 'Dm7'],
    ['V7/ii', 'A7'],
    ['♮III', 'E'],
    ['nIII', 'E'],
    ['C/E', 'C/E'],
    ['I/E', 'C/E'],
  ])('%s in C is %s', (text, expected) => {
    const r = parseChordOrRoman(text, key('C'));
    expect(r.ok && formatChord(r.value)).toBe(expected);
  });

  it.each([
    ['', 'there is no chord'],
    ['b7', "'b7' is neither a chord symbol nor a numeral"],
    ['x', "'x' is neither a chord symbol nor a numeral"],
    ['N.C.', "'N.C.' means that there is no chord"],
    ['d7', "'d7' is neither a chord symbol nor a numeral"],
    ['V7q', "'q' is not understood as part of a chord symbol"],
    ['Dq', "'q' is not understood as part of a chord symbol"],
  ])('%j: %s', (text, message) => {
    const r = parseChordOrRoman(text, key('C'));
    expect(r.ok ? '' : r.problems[0]?.message).toBe(message);
    expect(r.ok ? 0 : r.problems[0]?.column).toBeGreaterThan(0);
  });

  it('reads every numeral of a lane and its chord alike', () => {
    const lane = 'I7 IV7 I7 vi7 II7 V7 bVII7 #iv°7 I/3 V7alt'.split(' ');
    for (const text of lane) {
      const r = parseChordOrRoman(text, key('A blues'));
      if (!r.ok) throw new Error(text);
      const again = parseChordOrRoman(formatChord(r.value), key('A blues'));
      expect(again).toEqual(r);
      expect(tonesText(formatChord(r.value))).not.toBe('');
      expect(parseChord(formatChord(r.value)).ok).toBe(true);
    }
  });
});

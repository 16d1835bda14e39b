import { describe, expect, it } from 'vitest';
import {
  fretFor,
  fretMillimetres,
  placeMidi,
  reachMillimetres,
  STANDARD_GUITAR,
} from '../../../../src/core/phrase/instrument';
import { describeWithRef, readTsv } from '../../../support/refs';

/** Open strings 1 to 6 of standard tuning as MIDI numbers (P4). */
const OPEN = [64, 59, 55, 50, 45, 40];

describe('[N1] fret positions', () => {
  it('lie at L · (1 − 2^(−n/12)), worked step by step', () => {
    // Independent of the closed formula: each fret takes the same share of what is left of the string.
    let left = 648;
    for (let n = 1; n <= 22; n++) {
      left /= 2 ** (1 / 12);
      expect(fretMillimetres(STANDARD_GUITAR, n)).toBeCloseTo(648 - left, 9);
    }
    expect(fretMillimetres(STANDARD_GUITAR, 12)).toBeCloseTo(324, 9);
  });

  it('makes frets 1 to 5 a reach of 126 mm, 1 to 4 of 97, 12 to 17 of 81', () => {
    expect(Math.round(reachMillimetres(STANDARD_GUITAR, 1, 5))).toBe(126);
    expect(Math.round(reachMillimetres(STANDARD_GUITAR, 4, 1))).toBe(97);
    expect(Math.round(reachMillimetres(STANDARD_GUITAR, 12, 17))).toBe(81);
  });

  it('counts from the capo, millimetres from the nut', () => {
    const capo = { ...STANDARD_GUITAR, capo: 7 };
    expect(reachMillimetres(capo, 5, 10)).toBe(reachMillimetres(STANDARD_GUITAR, 12, 17));
  });

  describeWithRef('the handbook table (12th root of 2)', 'handbook/fret-positions.tsv', (text) => {
    it('agrees in all rows', () => {
      const rows = readTsv(text);
      expect(rows).toHaveLength(25);
      for (const r of rows)
        expect(fretMillimetres(STANDARD_GUITAR, Number(r.fret))).toBeCloseTo(
          Number(r.mm_at_648),
          2,
        );
    });
  });
});

describe('[N2] what a place sounds', () => {
  it('is open string + capo + fret', () => {
    OPEN.forEach((midi, i) => {
      expect(placeMidi(STANDARD_GUITAR, { string: i + 1, fret: 11 })).toBe(midi + 11);
      expect(placeMidi({ ...STANDARD_GUITAR, capo: 3 }, { string: i + 1, fret: 4 })).toBe(midi + 7);
    });
  });

  it('has the octave of an open string at fret 12 and its fifth at 7 (common practice)', () => {
    expect(fretFor(STANDARD_GUITAR, 5, 45 + 12)).toBe(12);
    expect(fretFor(STANDARD_GUITAR, 2, 59 + 7)).toBe(7);
  });

  it('leaves frets − capo frets', () => {
    const capo = { ...STANDARD_GUITAR, capo: 5 };
    expect(fretFor(capo, 1, 64 + 22)).toBe(17);
    expect(fretFor(capo, 1, 64 + 23)).toBeNull();
    expect(fretFor(capo, 1, 64 + 4)).toBeNull();
  });

  describeWithRef('the handbook fretboard', 'handbook/fretboard-midi-standard.tsv', (text) => {
    it('agrees in all 150 places', () => {
      const neck = { ...STANDARD_GUITAR, frets: 24 };
      let places = 0;
      for (const row of readTsv(text)) {
        for (let fret = 0; fret <= 24; fret++) {
          const place = { string: Number(row.string), fret };
          expect(placeMidi(neck, place)).toBe(Number(row[`f${fret}`]));
          places++;
        }
      }
      expect(places).toBe(150);
    });
  });
});

import { Interval as TonalInterval } from 'tonal';
import { describe, expect, it } from 'vitest';
import {
  type Degree,
  degree,
  degreeInterval,
  degreeOf,
  degreeSemitones,
  degreeSign,
  formatDegree,
  isUsualDegree,
  parseDegree,
  pitchClassOf,
  pitchOfDegree,
  sameDegree,
  USUAL_DEGREES,
} from '../../../../src/core/theory/degree';
import {
  formatPitch,
  formatPitchClass,
  LETTERS,
  type PitchClass,
} from '../../../../src/core/theory/pitch';
import { describeWithRef, readTsv } from '../../../support/refs';
import { degreeOfInterval, degreesText, pc } from '../../../support/theory';

const ALTERS = [-2, -1, 0, 1, 2] as const;
const NUMBERS = [1, 2, 3, 4, 5, 6, 7] as const;
const EVERY: readonly Degree[] = NUMBERS.flatMap((n) => ALTERS.map((a) => degree(n, a)));
const CLASSES: readonly PitchClass[] = LETTERS.flatMap((letter) =>
  ALTERS.map((alter) => ({ letter, alter })),
);

describe('degree (D1)', () => {
  it.each([
    // Common practice, check values of section 3.
    ['G', 'D', '5'],
    ['G', 'E', '6'],
    ['G', 'F', 'b7'],
    ['Ab', 'Cb', 'b3'],
    ['Gb', 'Bbb', 'b3'],
    ['C', 'Bbb', 'bb7'],
    ['C', 'D#', '#2'],
    ['F', 'B', '#4'],
    ['C', 'Cb', 'bR'],
    ['C', 'C#', '#R'],
    ['E', 'Ab', 'b4'],
  ])('over %s the note %s is %s', (root, note, name) => {
    expect(formatDegree(degreeOf(pc(root), pc(note)))).toBe(name);
  });

  it('finds the note of every degree again, and null beyond a double accidental', () => {
    let found = 0;
    for (const root of CLASSES) {
      for (const d of EVERY) {
        const note = pitchClassOf(root, d);
        if (note === null) continue;
        found++;
        expect(degreeOf(root, note)).toEqual(d);
      }
    }
    expect(found).toBeGreaterThan(700);
    // The fourth of Fb is Bbb already.
    expect(pitchClassOf(pc('Fb'), degree(4, -1))).toBeNull();
    expect(pitchClassOf(pc('Gb'), degree(3, -1))).toEqual(pc('Bbb'));
  });

  it('gives the first usual name where D1 has none for the spelling', () => {
    // D## over Cbb is a second raised by four semitones: it sounds as a tritone.
    expect(formatDegree(degreeOf(pc('Cbb'), pc('D##')))).toBe('b5');
    expect(formatDegree(degreeOf(pc('C##'), pc('Fbb')))).toBe('b2');
  });

  it('lists the usual names by semitone', () => {
    expect(USUAL_DEGREES.map(degreesText)).toEqual([
      ...['R', 'b2', '2', 'b3 #2', '3', '4', 'b5 #4', '5', 'b6 #5', '6 bb7', 'b7', '7'],
    ]);
    expect(EVERY.filter(isUsualDegree)).toHaveLength(16);
    expect(isUsualDegree(degree(4, -1))).toBe(false);
    expect(isUsualDegree(degree(1, -1))).toBe(false);
    USUAL_DEGREES.forEach((names, semitones) => {
      for (const d of names) expect(degreeSemitones(d)).toBe(semitones);
    });
  });

  it('writes and reads every degree', () => {
    for (const d of EVERY) {
      expect(parseDegree(formatDegree(d))).toEqual(d);
      expect(parseDegree(degreeSign(d))).toEqual(d);
    }
    expect(degreeSign(degree(7, -2))).toBe('𝄫7');
    expect(degreeSign(degree(4, 1))).toBe('♯4');
  });

  it.each([
    ['1', 'R'],
    ['r', 'R'],
    ['9', '2'],
    ['b9', 'b2'],
    ['#11', '#4'],
    ['♭13', 'b6'],
    ['♯♯4', '##4'],
    [' b3 ', 'b3'],
  ])('reads %s as %s', (text, name) => {
    expect(formatDegree(parseDegree(text)!)).toBe(name);
  });

  it.each(['', '0', '8', '10', 'b', 'x', '3b', 'bbb7', '#b3', '77'])('refuses %j', (text) => {
    expect(parseDegree(text)).toBeNull();
  });

  it('compares number and alteration', () => {
    expect(sameDegree(degree(2, 1), degree(3, -1))).toBe(false);
    expect(sameDegree(degree(5), degree(5))).toBe(true);
  });

  it('spells the pitch of a degree in its octave', () => {
    const root = { ...pc('A'), octave: 3 };
    expect(formatPitch(pitchOfDegree(root, degree(3, -1))!)).toBe('C4');
    expect(formatPitch(pitchOfDegree(root, degree(1, -1))!)).toBe('Ab3');
    expect(formatPitchClass(pitchClassOf(pc('B'), degree(4, 1))!)).toBe('E#');
  });

  it('agrees with tonal on the size of every simple interval', () => {
    for (const name of TonalInterval.names()) {
      const d = degreeOfInterval(name);
      if (Number.parseInt(name, 10) > 7) continue;
      expect(degreeSemitones(d)).toBe(TonalInterval.semitones(name));
      expect(degreeInterval(d)).toEqual({
        steps: TonalInterval.num(name) - 1,
        semitones: TonalInterval.semitones(name),
      });
    }
  });
});

describeWithRef('intervals as degrees (tonal 6.4.3)', 'handbook/intervals.tsv', (text) => {
  it('agrees in semitones within the octave', () => {
    const simple = readTsv(text).filter((r) => Number(r.number) <= 7);
    expect(simple).toHaveLength(20);
    for (const row of simple) {
      expect(degreeSemitones(degreeOfInterval(row.name!))).toBe(Number(row.semitones));
    }
  });
});

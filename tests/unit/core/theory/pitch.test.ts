import { Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import {
  alterSign,
  alterText,
  chromaOf,
  formatPitch,
  frequencyOf,
  LETTERS,
  midiOf,
  mod,
  type Pitch,
  parsePitch,
  parsePitchClass,
  pitchAt,
  pitchOfMidi,
  samePitch,
  samePitchClass,
  staffStep,
} from '../../../../src/core/theory/pitch';
import { describeWithRef, readTsv } from '../../../support/refs';

function pitch(text: string): Pitch {
  const read = parsePitch(text);
  if (!read.ok) throw new Error(text);
  return read.value;
}

const ALTERS = [-2, -1, 0, 1, 2] as const;
const EVERY: readonly Pitch[] = LETTERS.flatMap((letter) =>
  ALTERS.flatMap((alter) => [-1, 0, 3, 4, 9].map((octave) => ({ letter, alter, octave }))),
);

describe('pitch (P1)', () => {
  it('numbers C4 60 and A4 69 and sounds A4 at 440 Hz (ISO 16)', () => {
    expect(midiOf(pitch('C4'))).toBe(60);
    expect(midiOf(pitch('A4'))).toBe(69);
    expect(frequencyOf(69)).toBe(440);
    expect(frequencyOf(57)).toBe(220);
    expect(frequencyOf(70)).toBeCloseTo(466.1638, 4);
  });

  it('counts B# and Cb in the octave of their letter', () => {
    expect(midiOf(pitch('B#3'))).toBe(60);
    expect(midiOf(pitch('Cb4'))).toBe(59);
    expect(midiOf(pitch('B##4'))).toBe(73);
  });

  it('agrees with tonal on MIDI number, chroma and staff step of 175 spelled pitches', () => {
    for (const p of EVERY) {
      const name = formatPitch(p);
      const other = Note.get(name);
      // tonal's height is its MIDI number, and goes on below 0 and above 127.
      expect(midiOf(p), name).toBe(other.height);
      expect(chromaOf(p), name).toBe(other.chroma);
      expect(staffStep(p), name).toBe((other.oct ?? Number.NaN) * 7 + other.step);
    }
  });

  it('reads back what it writes', () => {
    for (const p of EVERY) expect(pitch(formatPitch(p))).toEqual(p);
  });

  it.each([
    ['F♯4', 'F#4'],
    ['B𝄫3', 'Bbb3'],
    ['F𝄪2', 'F##2'],
    ['Cx5', 'C##5'],
    ['E♭♭4', 'Ebb4'],
    ['g♮3', 'G3'],
    [' Ab-1 ', 'Ab-1'],
  ])('reads %s as %s', (text, name) => {
    expect(formatPitch(pitch(text))).toBe(name);
  });

  it.each(['', 'H4', 'F', '4', 'F#', 'Fb#4', 'C###4', 'C100', 'C4x'])('refuses %j', (text) => {
    const read = parsePitch(text);
    expect(read.ok).toBe(false);
    if (!read.ok) expect(read.problems[0]?.message).toContain(`'${text}'`);
  });

  it('has no note name beyond a double accidental', () => {
    expect(parsePitchClass('Bbbb')).toBeNull();
    expect(parsePitchClass('F#b')).toBeNull();
    expect(pitchAt(staffStep(pitch('C4')), 63)).toBeNull();
    expect(pitchAt(staffStep(pitch('C4')), 57)).toBeNull();
    expect(pitchAt(staffStep(pitch('C4')), 62)).toEqual(pitch('C##4'));
    expect(pitchAt(staffStep(pitch('B3')), 57)).toEqual(pitch('Bbb3'));
  });

  it('names a bare number on the side it is told', () => {
    for (let midi = 0; midi <= 127; midi++) {
      expect(midiOf(pitchOfMidi(midi, 'sharp'))).toBe(midi);
      expect(midiOf(pitchOfMidi(midi, 'flat'))).toBe(midi);
    }
    expect(formatPitch(pitchOfMidi(66, 'sharp'))).toBe('F#4');
    expect(formatPitch(pitchOfMidi(66, 'flat'))).toBe('Gb4');
  });

  it('compares spelling, not sound', () => {
    expect(samePitch(pitch('G#3'), pitch('Ab3'))).toBe(false);
    expect(samePitch(pitch('G#3'), pitch('G#4'))).toBe(false);
    expect(samePitchClass(pitch('G#3'), pitch('G#4'))).toBe(true);
  });

  it('writes accidentals in ASCII and as signs', () => {
    expect(ALTERS.map(alterText)).toEqual(['bb', 'b', '', '#', '##']);
    expect(ALTERS.map(alterSign)).toEqual(['𝄫', '♭', '', '♯', '𝄪']);
  });

  it('keeps the remainder positive', () => {
    expect([-13, -12, -1, 0, 11, 12].map((n) => mod(n, 12))).toEqual([11, 0, 11, 0, 11, 0]);
  });
});

describeWithRef(
  'equal temperament table (f = 440 * 2^((m - 69) / 12))',
  'handbook/et-frequencies.tsv',
  (text) => {
    it('agrees in every row', () => {
      const rows = readTsv(text);
      expect(rows.length).toBeGreaterThan(40);
      for (const row of rows) {
        expect(Math.abs(frequencyOf(Number(row.midi)) - Number(row.freq_hz))).toBeLessThan(0.0001);
        expect(formatPitch(pitchOfMidi(Number(row.midi), 'sharp'))).toBe(row.sharp);
        expect(formatPitch(pitchOfMidi(Number(row.midi), 'flat'))).toBe(row.flat);
      }
    });
  },
);

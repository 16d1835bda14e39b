import { describe, expect, it } from 'vitest';
import { fingeredSemitones, fingeredView } from '../../../../src/core/neck/as-fingered';
import { STANDARD_GUITAR } from '../../../../src/core/phrase/instrument';
import type { Instrument } from '../../../../src/core/phrase/types';
import { transpose } from '../../../../src/core/theory/interval';
import { formatKey, parseKey, twelveKeys } from '../../../../src/core/theory/key';
import { formatPitch, midiOf, type Pitch, parsePitch } from '../../../../src/core/theory/pitch';

const pitch = (name: string): Pitch => {
  const r = parsePitch(name);
  if (!r.ok) throw new Error(name);
  return r.value;
};
const tuned = (names: string): Instrument => ({
  ...STANDARD_GUITAR,
  tuning: names.split(' ').map(pitch),
});
const key = (name: string) => parseKey(name)!;
const HALF_DOWN = tuned('Eb4 Bb3 Gb3 Db3 Ab2 Eb2');

describe('fingeredSemitones (N2)', () => {
  it('adds the capo to a tuning that lies off the standard one as a whole', () => {
    expect(fingeredSemitones(STANDARD_GUITAR)).toBe(0);
    expect(fingeredSemitones({ ...STANDARD_GUITAR, capo: 4 })).toBe(4);
    expect(fingeredSemitones(HALF_DOWN)).toBe(-1);
    expect(fingeredSemitones({ ...HALF_DOWN, capo: 1 })).toBe(0);
    expect(fingeredSemitones(tuned('D4 A3 F3 C3 G2 D2'))).toBe(-2);
  });

  it('takes other tunings as their own', () => {
    expect(fingeredSemitones(tuned('E4 B3 G3 D3 A2 D2'))).toBe(0);
    expect(fingeredSemitones(tuned('A4 E4 C4 G4'))).toBe(0);
    expect(fingeredSemitones({ ...tuned('E4 B3 G3 D3 A2 D2'), capo: 2 })).toBe(2);
  });
});

describe('fingeredView', () => {
  it('is null where it equals what sounds', () => {
    expect(fingeredView(STANDARD_GUITAR, key('C'))).toBeNull();
  });

  it.each([
    // Sounding key, capo, key as the hand names it.
    ['C', 3, 'A'],
    ['Bb', 1, 'A'],
    ['F#m', 2, 'Em'],
    ['Eb blues', 3, 'C blues'],
    ['G', 14, 'F'],
  ])('%s with the capo at %i is read as %s', (sounding, capo, read) => {
    const view = fingeredView({ ...STANDARD_GUITAR, capo }, key(sounding))!;
    expect(formatKey(view.key)).toBe(read);
    expect(view.toSounding.semitones).toBe(capo);
  });

  it('reads half a step down a semitone higher', () => {
    const view = fingeredView(HALF_DOWN, key('Eb'))!;
    expect(formatKey(view.key)).toBe('E');
    expect(formatPitch(view.pitch(pitch('G4')))).toBe('G#4');
    expect(formatPitch(view.pitch(pitch('Bb3')))).toBe('B3');
  });

  it('leads back to what sounds, in every key', () => {
    for (const capo of [1, 2, 3, 4, 5, 6, 7, 11, 12]) {
      for (const k of [...twelveKeys(key('C')), ...twelveKeys(key('Am'))]) {
        const view = fingeredView({ ...STANDARD_GUITAR, capo }, k)!;
        const sounding: Pitch = { ...k.tonic, octave: 4 };
        const read = view.pitch(sounding);
        expect(midiOf(read)).toBe(midiOf(sounding) - capo);
        expect(transpose(read, view.toSounding)).toEqual(sounding);
        expect(formatKey({ ...view.key, tonic: { letter: read.letter, alter: read.alter } })).toBe(
          formatKey(view.key),
        );
      }
    }
  });
});

import { Note } from 'tonal';
import { expect, it } from 'vitest';
import { KINDS, pitchesOf, readInstrument, TUNINGS } from '../../../../src/core/phrase/instruments';
import { typedTuning } from '../../../../src/core/phrase/typed-tuning';
import { midiOf, type Pitch } from '../../../../src/core/theory/pitch';

const strings = (notes: string): readonly Pitch[] => {
  const pitches = pitchesOf(notes);
  if (typeof pitches === 'string') throw new Error(pitches);
  return pitches;
};
const GUITAR = strings(TUNINGS.standard.notes);
/** What tonal (npm) makes of the names of pitches. */
const midi = (notes: string) => notes.split(' ').map((n) => Note.midi(n));
const typed = (text: string, now = GUITAR) => {
  const tuning = typedTuning(text, now);
  return typeof tuning === 'string' ? tuning : tuning.map(midiOf);
};

it.each(Object.values(TUNINGS))('reads $title as it is said, from the lowest string up', (t) => {
  const names = t.notes.split(' ').map((n) => n.replace(/\d/u, ''));
  const said = [...names].reverse();
  expect(typed(said.join(' '))).toEqual(midi(t.notes));
  expect(typed(said.join(''))).toEqual(midi(t.notes));
  // With octaves the first string comes first, unless the list can only be meant the other way round.
  expect(typed(t.notes)).toEqual(midi(t.notes));
  expect(typed(t.notes.split(' ').reverse().join(' '))).toEqual(midi(t.notes));
});

it('takes the octaves of the instrument, re-entrant strings too', () => {
  expect(typed('D G C F', strings(KINDS.bass4.notes))).toEqual(midi('F2 C2 G1 D1'));
  expect(typed('g c e a', strings(KINDS.ukulele.notes))).toEqual(midi(KINDS.ukulele.notes));
  // As near above as below: strings are let down.
  expect(typed('Bb A D G B E')).toEqual(midi('E4 B3 G3 D3 A2 Bb1'));
});

it('leaves pitches that rise as they are where the first string is the lowest already', () => {
  const mirrored = [...GUITAR].reverse();
  expect(typed('D2 A2 D3 G3 B3 E4', mirrored)).toEqual(midi('D2 A2 D3 G3 B3 E4'));
  expect(typed('D♭2 A♭2 D♭3 G♭3 B♭3 E♭4')).toEqual(midi('Eb4 Bb3 Gb3 Db3 Ab2 Db2'));
});

it('says what is wrong', () => {
  expect(typed('D A D G B')).toBe('the instrument has 6 strings, and these are 5');
  expect(typed('D A D H B E')).toBe("'H' is not a pitch");
  expect(typed('banana')).toBe("'banana' is not a pitch");
  expect(typed('E4 B3 G D3 A2 E2')).toBe("'G' is not a pitch");
});

it('is read where an instrument is named', () => {
  const wish = readInstrument('D A D F# A D capo 2');
  expect(wish.ok && [wish.value.tuning.map(midiOf), wish.value.capo]).toEqual([
    midi(TUNINGS.openD.notes),
    2,
  ]);
});

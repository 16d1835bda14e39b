import { describe, expect, it } from 'vitest';
import { formatDegree } from '../../../../src/core/theory/degree';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { build } from '../../../support/build';
import { moved, toChord } from '../../../support/moves';

/**
 * What the notes of a key are over the other chords of a dominant blues (rule M6). The degrees are
 * arithmetic on the major scale; what is done about them is common practice.
 */
const C_LINE = [
  ['R', '5/3=C', '5', '4'],
  ['2', '4/0=D', '6', '5'],
  ['b3', '4/1=Eb', 'b7', 'b6'],
  ['3', '4/2=E', '7', '6'],
  ['4', '4/3=F', 'R', 'b7'],
  ['5', '4/5=G', '2', 'R'],
  ['6', '4/7=A', '3', '2'],
  ['b7', '4/8=Bb', '4', 'b3'],
] as const;

describe('hold over the chords of a dominant blues in C (M6)', () => {
  it.each(C_LINE)('the key degree %s', (degree, place, overFour, overFive) => {
    const p = build(`q ${place}`, { chords: 'C7', key: 'C blues' });
    const four = moved(p, toChord(p, 'IV7'), { way: 'hold' }).report.notes[0]!;
    const five = moved(p, toChord(p, 'V7'), { way: 'hold' }).report.notes[0]!;
    expect(formatDegree(four.before.keyDegree)).toBe(degree);
    expect(four.after.chordDegree && formatDegree(four.after.chordDegree)).toBe(overFour);
    expect(five.after.chordDegree && formatDegree(five.after.chordDegree)).toBe(overFive);
    expect(four.after.pitch).toEqual(four.before.pitch);
  });

  it('♭5 is ♭2 of IV and, respelled ♯4, 7 of V', () => {
    const p = build('q 4/4=Gb', { chords: 'C7', key: 'C blues' });
    const four = moved(p, toChord(p, 'IV7'), { way: 'hold' }).report.notes[0]!;
    const five = moved(p, toChord(p, 'V7'), { way: 'hold' }).report.notes[0]!;
    expect([formatPitch(four.after.pitch), formatDegree(four.after.chordDegree!)]).toEqual([
      'Gb3',
      'b2',
    ]);
    expect([formatPitch(five.after.pitch), formatDegree(five.after.chordDegree!)]).toEqual([
      'F#3',
      '7',
    ]);
    expect(five.adaptations.map((a) => a.rule)).toEqual(['D1']);
  });

  const suggestion = (place: string, to: string) => {
    const p = build(`h ${place}`, { chords: 'C7', key: 'C blues' });
    const [s] = moved(p, toChord(p, to), { way: 'hold' }).report.suggestions;
    if (s === undefined) return null;
    if (s.pitch !== undefined) return `to ${formatPitch(s.pitch)}`;
    return s.bendTo === undefined ? 'said' : `bend to ${formatPitch(s.bendTo)}`;
  };

  it('suggests the usual handling and nothing else', () => {
    expect(suggestion('4/2=E', 'IV7')).toBe('to Eb3');
    // ♭5 is 7 of V: used in passing, never lowered to ♭7, which would stop a walk 4, ♭5, 5.
    expect(suggestion('4/4=Gb', 'V7')).toBe('said');
    const walk = build('q 4/3 4/4=Gb h 4/5', { chords: 'C7', key: 'C blues' });
    expect(moved(walk, toChord(walk, 'V7'), { way: 'hold' }).report.suggestions).toEqual([]);
    expect(suggestion('4/8=Bb', 'IV7')).toBe('to A3');
    expect(suggestion('5/3=C', 'V7')).toBe('to B2');
    expect(suggestion('4/8=Bb', 'V7')).toBe('bend to B3');
    expect(suggestion('4/1=Eb', 'V7')).toBe('said');
    for (const keep of ['4/0=D', '4/3=F', '4/5=G', '4/7=A']) {
      expect([keep, suggestion(keep, 'IV7'), suggestion(keep, 'V7')]).toEqual([keep, null, null]);
    }
    expect(suggestion('4/1=Eb', 'IV7')).toBeNull();
  });

  it('adapts on request: the bend is added, the lowered note takes its own fret', () => {
    const p = build('h 4/8=Bb 4/2=E', { chords: 'C7', key: 'C blues' });
    const five = moved(p, toChord(p, 'V7'), { way: 'hold', adapt: true });
    const [first] = five.phrase.voices[0].events[0]!.notes;
    expect(first.kind === 'pitched' && first.bend).toMatchObject({
      shape: 'bend',
      target: { letter: 'B', alter: 0, octave: 3 },
    });
    const four = moved(p, toChord(p, 'IV7'), { way: 'hold', adapt: true });
    expect(four.report.notes.map((n) => n.after.fret)).toEqual([7, 1]);
    expect(four.report.suggestions).toEqual([]);
  });

  it('minor blues: key 6 becomes ♭6 over iv, its ♭3', () => {
    const p = build('h 4/7=A', { chords: 'Cm7', key: 'Cm' });
    const [s] = moved(p, toChord(p, 'ivm7'), { way: 'hold' }).report.suggestions;
    expect(s?.pitch).toEqual({ letter: 'A', alter: -1, octave: 3 });
  });
});

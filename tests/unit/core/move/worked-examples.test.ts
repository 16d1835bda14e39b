import { describe, expect, it } from 'vitest';
import { build } from '../../../support/build';
import { allAfter, moved, rulesOf, toChord } from '../../../support/moves';

// Worked examples of common practice: what a guitarist plays when such a phrase is moved. Pitches and
// frets follow from the standard tuning (E2 A2 D3 G3 B3 E4) and the chord-scale tables; each was
// worked out by hand, not by the program.

describe('unequal double-stop bend over G7', () => {
  const p = build('q 3/5(bend:D4)+2/5(bend:F4)', { chords: 'G7', key: 'G blues' });

  it('to C7 by shape, up: both at fret 10, still a whole tone and a semitone', () => {
    const m = moved(p, toChord(p, 'C7'), { octave: 'up' });
    expect(allAfter(m)).toEqual(['s3 f10 F4 4>5 G4', 's2 f10 A4 6>b7 Bb4']);
    expect(m.report.general).toEqual([]);
  });

  it('to Cmaj7: 6 to ♭7 becomes 6 to 7, the bend widened to a whole tone and reported', () => {
    const m = moved(p, toChord(p, 'Cmaj7'), { octave: 'up' });
    expect(allAfter(m)).toEqual(['s3 f10 F4 4>5 G4', 's2 f10 A4 6>7 B4']);
    expect(rulesOf(m, 0)).toEqual(['M4', 'M10']);
    expect(rulesOf(m, 1)).toEqual([]);
  });

  it('to D7, nearest: fret 0 cannot be bent, so an octave higher, reported', () => {
    const m = moved(p, toChord(p, 'D7'));
    expect(allAfter(m)).toEqual(['s3 f12 G4 4>5 A4', 's2 f12 B4 6>b7 C5']);
    expect(m.report.general.map((a) => [a.rule, a.fallback])).toEqual([['M7', true]]);
    expect(m.report.segments.map((s) => s.semitones)).toEqual([7]);
  });

  it('to D7, nearest, by area: strings 4 and 3', () => {
    const m = moved(p, toChord(p, 'D7'), { hand: 'area' });
    expect(allAfter(m)).toEqual(['s4 f5 G3 4>5 A3', 's3 f4 B3 6>b7 C4']);
    expect(m.report.segments.map((s) => s.semitones)).toEqual([-5]);
  });
});

describe('a bend from ♭7 to the root over D7', () => {
  const p = build('q 2/13(bend:D5)', { chords: 'D7', key: 'D blues' });

  it('to G7 by shape at fret 18, by area on string 1', () => {
    expect(allAfter(moved(p, toChord(p, 'G7')))).toEqual(['s2 f18 F5 b7>R G5']);
    expect(allAfter(moved(p, toChord(p, 'G7'), { hand: 'area' }))).toEqual(['s1 f13 F5 b7>R G5']);
  });

  it('to Gmaj7 by area: 7 to R, narrowed to a semitone', () => {
    const m = moved(p, toChord(p, 'Gmaj7'), { hand: 'area' });
    expect(allAfter(m)).toEqual(['s1 f14 F#5 7>R G5']);
    expect(rulesOf(m, 0)).toEqual(['M4', 'M10']);
  });
});

describe('a bend from 2 to 3 over E♭7, to A♭m7', () => {
  const p = build('q 3/10(bend:G4)', { chords: 'Eb7', key: 'Eb blues' });

  it('becomes 2 to ♭3, spelled C♭', () => {
    expect(allAfter(moved(p, toChord(p, 'Abm7')))).toEqual(['s3 f15 Bb4 2>b3 Cb5']);
    expect(allAfter(moved(p, toChord(p, 'Abm7'), { hand: 'area' }))).toEqual([
      's2 f11 Bb4 2>b3 Cb5',
    ]);
  });
});

describe('♭3 hammered to 3, then 5 and R, over C7', () => {
  const p = build('e 3/8 3/9(h) 2/8 1/8', { chords: 'C7', key: 'C blues' });
  const frets = (to: string, octave: 'up' | 'down') =>
    allAfter(moved(p, toChord(p, to), { octave })).map((s) => s.split(' ').slice(0, 4).join(' '));

  it('to F7 up at fret 13, down at fret 1', () => {
    expect(frets('F7', 'up')).toEqual([
      's3 f13 Ab4 b3',
      's3 f14 A4 3',
      's2 f13 C5 5',
      's1 f13 F5 R',
    ]);
    expect(frets('F7', 'down')).toEqual(['s3 f1 Ab3 b3', 's3 f2 A3 3', 's2 f1 C4 5', 's1 f1 F4 R']);
  });

  it('to Fm7 the ♭3 that led to 3 becomes the 2 that leads to ♭3', () => {
    expect(frets('Fm7', 'up')).toEqual([
      's3 f12 G4 2',
      's3 f13 Ab4 b3',
      's2 f13 C5 5',
      's1 f13 F5 R',
    ]);
  });

  it('down, hammered from the open string, which is legal', () => {
    const m = moved(p, toChord(p, 'Fm7'), { octave: 'down' });
    expect(allAfter(m).slice(0, 2)).toEqual(['s3 f0 G3 2', 's3 f1 Ab3 b3']);
    expect(m.report.unplayable).toEqual([]);
    const hammered = m.phrase.voices[0].events[1]!.notes[0];
    expect(hammered.kind === 'pitched' && hammered.attack).toBe('hammer-on');
  });
});

describe('double stop slid in from a semitone below over F', () => {
  const p = build('q 3/10(in:-1)+2/10(in:-1)', { chords: 'F', key: 'F' });

  it('to B♭ by shape at fret 15', () => {
    expect(allAfter(moved(p, toChord(p, 'Bb')))).toEqual(['s3 f15 Bb4 R', 's2 f15 D5 3']);
  });

  it.each(['strings', 'area'] as const)(
    'by %s: one fret more across G to B, none on the other pair',
    (hand) => {
      const m = moved(p, toChord(p, 'Bb'), { hand });
      expect(allAfter(m)).toEqual(['s2 f11 Bb4 R', 's1 f10 D5 3']);
      for (const n of m.phrase.voices[0].events[0]!.notes) {
        expect(n.kind === 'pitched' && n.slideIn).toEqual({
          kind: 'interval',
          from: 'below',
          semitones: 1,
        });
      }
    },
  );
});

describe('unison bend over C', () => {
  const p = build('q 2/13+3/15(bend:C5)', { chords: 'C', key: 'C' });

  it('to F on strings 1 and 2: a fourth apart the bent string starts three frets above', () => {
    expect(allAfter(moved(p, toChord(p, 'F'), { hand: 'strings' }))).toEqual([
      's2 f16 Eb5 b7>R F5',
      's1 f13 F5 R',
    ]);
  });
});

describe('a line in B♭ held over the other chords', () => {
  const p = build('q 1/6 2/6 3/7 3/6=Db 4/6', { chords: 'Bb7', key: 'Bb blues' });

  it('over E♭7: the pitches stay, the degrees are read anew, two changes are suggested', () => {
    const m = moved(p, toChord(p, 'Eb7'), { way: 'hold' });
    expect(allAfter(m)).toEqual([
      's1 f6 Bb4 5',
      's2 f6 F4 2',
      's3 f7 D4 7',
      's3 f6 Db4 b7',
      's4 f6 Ab3 4',
    ]);
    expect(m.report.suggestions.map((s) => [s.id, s.pitch])).toEqual([
      ['n3', { letter: 'D', alter: -1, octave: 4 }],
      ['n5', { letter: 'G', alter: 0, octave: 3 }],
    ]);
  });

  it('with the suggestions applied: D♭ at fret 6, G at fret 5', () => {
    const m = moved(p, toChord(p, 'Eb7'), { way: 'hold', adapt: true });
    expect(allAfter(m)[2]).toBe('s3 f6 Db4 b7');
    expect(allAfter(m)[4]).toBe('s4 f5 G3 3');
  });

  it('over F7 the same notes are 4, R, 6, ♭6 and ♭3', () => {
    const m = moved(p, toChord(p, 'F7'), { way: 'hold' });
    expect(m.report.notes.map((n) => n.after.chordDegree)).toEqual([
      { number: 4, alter: 0 },
      { number: 1, alter: 0 },
      { number: 6, alter: 0 },
      { number: 6, alter: -1 },
      { number: 3, alter: -1 },
    ]);
  });
});

describe('anticipation', () => {
  // D on the last eighth of an F7 bar, tied over into B♭7.
  const p = build('q - - - e - 3/7 | h 3/8', { chords: 'F7 | Bb7', key: 'F blues' });
  const tied = {
    ...p,
    voices: [
      { ...p.voices[0], events: [{ ...p.voices[0].events[0]!, duration: 5_040 + 10_080 }] },
    ] as const,
  };

  it('belongs to the next chord and becomes its third there: A♭ over Fm7', () => {
    const m = moved(tied, { kind: 'lane', bars: [[chord('C7', tied)], [chord('Fm7', tied)]] });
    const n = m.report.notes[0]!;
    expect(n.before.chordDegree).toEqual({ number: 3, alter: 0 });
    expect(n.after.pitch).toMatchObject({ letter: 'A', alter: -1 });
    expect(n.after.chordDegree).toEqual({ number: 3, alter: -1 });
  });
});

function chord(text: string, p: Parameters<typeof toChord>[0]) {
  const to = toChord(p, text);
  if (to.kind !== 'chord') throw new Error('a chord destination');
  return to.chord;
}

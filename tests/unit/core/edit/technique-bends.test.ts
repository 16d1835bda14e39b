import { describe, expect, it } from 'vitest';
import type { Bend, Phrase, PitchedNote } from '../../../../src/core/phrase/types';
import { build } from '../../../support/build';
import { press } from '../../../support/edit';
import { chosen, cursorOn, ordered, refusal, refusalOfKey, said } from '../../../support/technique';

/** Places and pitches without the ids, which are in the order in which notes were made. */
const heardAs = (p: Phrase) => p.voices[0].events[0]!.notes.map(({ id, ...rest }) => rest);

/* The curves of the shapes stand in the builder of the tests too, written down a second time. */

const plain = build('w 2/13', { chords: 'D7' });
const start = cursorOn(plain, 2);
const overD7 = (note: string) => build(`w ${note}`, { chords: 'D7' });

describe('the key that bends (worked example 2: D7, string 2, fret 13, C5 full to D5)', () => {
  const forms = ['2/13(bend:D5)', '2/13(rel:D5)', '2/13(pre:D5)', '2/13(prerel:D5)', '2/13'];

  it.each(['B', 'b'])('%s goes through the four shapes and back to the plain note', (key) => {
    const seen = forms.map((_, i) => press(start, ...Array(i + 1).fill(key)).phrase);
    expect(seen).toEqual(forms.map(overD7));
  });

  it('leaves b to the accidental while degrees are read', () => {
    const degrees = { ...start, pen: { ...start.pen, reading: 'degree' as const } };
    expect(press(degrees, 'b').phrase).toBe(plain);
    expect(press(degrees, 'B').phrase).toEqual(overD7('2/13(bend:D5)'));
  });

  it('keeps the width while the shape changes', () => {
    expect(press(start, 'B', 'Alt+ArrowDown', 'B').phrase).toEqual(overD7('2/13(rel:C#5)'));
  });

  it('takes a curl as a note that is not bent yet, and rounds its half semitone up', () => {
    expect(press(start, 'c', 'B').phrase).toEqual(overD7('2/13(bend:C#5)'));
  });

  it('gives all of a block the shape that one of it has, then the next', () => {
    const line = build('q 2/13(bend:D5) 2/10 2/12 -', { chords: 'D7' });
    expect(press(chosen(line), 'B').phrase).toEqual(
      build('q 2/13(bend:D5) 2/10(bend:B4) 2/12(bend:C#5) -', { chords: 'D7' }),
    );
    expect(press(chosen(line), 'B', 'B').phrase).toEqual(
      build('q 2/13(rel:D5) 2/10(rel:B4) 2/12(rel:C#5) -', { chords: 'D7' }),
    );
    // A shape that one of them cannot have is passed over.
    const open = build('h 2/13(bend:D5) 2/0', { chords: 'D7' });
    expect(press(chosen(open), 'B').phrase).toEqual(build('h 2/13 2/0', { chords: 'D7' }));
  });
});

describe('each string its own bend', () => {
  it('G7: full and a half tone in one double stop (worked example 1)', () => {
    const p = build('w 3/5+2/5', { chords: 'G7' });
    const both = press(chosen(p), 'B');
    expect(both.phrase).toEqual(build('w 3/5(bend:D4)+2/5(bend:F#4)', { chords: 'G7' }));
    const uneven = press(cursorOn(both.phrase, 2), 'Alt+ArrowDown');
    expect(uneven.phrase).toEqual(build('w 3/5(bend:D4)+2/5(bend:F4)', { chords: 'G7' }));
    // As it moves over C7 in the same example: both at fret 10, F4 full and A4 a half tone.
    const moved = build('w 3/10+2/10', { chords: 'C7' });
    const there = press(cursorOn(press(chosen(moved), 'B').phrase, 2), 'Alt+ArrowDown');
    expect(there.phrase).toEqual(build('w 3/10(bend:G4)+2/10(bend:Bb4)', { chords: 'C7' }));
  });

  it('an oblique bend: the cursor on one string leaves the other held', () => {
    const p = build('w 3/7+2/8', { chords: 'G7' });
    expect(press(cursorOn(p, 3), 'B').phrase).toEqual(
      build('w 3/7(bend:E4)+2/8', { chords: 'G7' }),
    );
  });

  it('an oblique bend by one command, of the lower note or the higher, over a range too', () => {
    const g7 = (line: string) => build(line, { chords: 'G7' });
    const p = g7('h 3/7+2/8 3/9+2/10');
    const lower = ordered(chosen(p), 'bend.oblique', 'lower');
    expect(lower.phrase).toEqual(g7('h 3/7(bend:E4)+2/8 3/9(bend:F#4)+2/10'));
    const higher = ordered(lower, 'bend.oblique', 'higher');
    expect(higher.phrase).toEqual(g7('h 3/7+2/8(bend:A4) 3/9+2/10(bend:B4)'));
    expect(refusal(higher, 'bend.oblique', 'higher')).toBe('the higher note alone is bent already');
    expect(said(higher, 'bend.oblique', 'lower')).toBe('oblique bend, the lower note bent');
  });

  it('an oblique bend keeps the bend that is there, and takes the other off', () => {
    const both = chosen(build('w 3/5(rel:D4)+2/5(bend:F4)', { chords: 'G7' }));
    expect(ordered(both, 'bend.oblique', 'lower').phrase).toEqual(
      build('w 3/5(rel:D4)+2/5', { chords: 'G7' }),
    );
    const why = (line: string) => refusal(chosen(build(line)), 'bend.oblique', 'lower');
    expect(why('w 3/5')).toBe('two notes with pitch must be chosen at each moment');
    expect(why('w 3/x5+2/5')).toBe('two notes with pitch must be chosen at each moment');
    expect(why('w 3/5+2/5+1/5')).toBe('two notes with pitch must be chosen at each moment');
    expect(why('w 3/0+2/5')).toBe('an open string cannot be bent');
    // The string that is held may be open.
    expect(why('w 4/3+3/0')).toBeNull();
    // G on string 4 and on the open string 3 sound alike.
    expect(why('w 4/5+3/0')).toBeNull();
  });

  it('names the target as the chord does (worked example 2: E flat 7 and A flat minor 7)', () => {
    const three = cursorOn(build('w 3/10', { chords: 'Eb7' }), 3);
    expect(press(three, 'B').phrase).toEqual(build('w 3/10(bend:G4)', { chords: 'Eb7' }));
    const flat = cursorOn(build('w 3/15', { chords: 'Abm7' }), 3);
    expect(ordered(flat, 'bend.width', 1).phrase).toEqual(
      build('w 3/15(bend:Cb5)', { chords: 'Abm7' }),
    );
  });

  it.each([
    ['C7', '2/13=C5', '3/15=Bb4', '3/15=Bb4(bend:C5)'],
    ['F7', '1/13=F5', '2/16=Eb5', '2/16=Eb5(bend:F5)'],
  ])(
    'bends the lower note of two to the higher over %s (worked example 4)',
    (chords, high, low, bent) => {
      const p = build(`w ${high}+${low}`, { chords });
      const done = ordered(chosen(p), 'bend.unison');
      expect(done.phrase).toEqual(build(`w ${high}+${bent}`, { chords }));
      expect(refusal(done, 'bend.unison')).toBe('it is bent to the higher note already');
    },
  );

  it('is bent to the higher note by the name that note has', () => {
    // Over C7 the sound is E flat, unless somebody called it D sharp.
    const p = build('w 2/4=D#4+3/6', { chords: 'C7' });
    expect(ordered(chosen(p), 'bend.unison').phrase).toEqual(
      build('w 2/4=D#4+3/6(bend:D#4)', { chords: 'C7' }),
    );
  });

  it.each([
    // MUSIC.md 7.4: on G and B the bent string starts two frets above, on strings a fourth apart three.
    ['C7', '2/13=C5', '2/13=C5+3/15=Bb4(bend:C5)'],
    ['F7', '1/13=F5', '1/13=F5+2/16=Eb5(bend:F5)'],
    ['D7', '3/7=D4', '3/7=D4+4/10=C4(bend:D4)'],
    ['A7', '4/7=A3', '4/7=A3+5/10=G3(bend:A3)'],
    // At the end of the neck it takes a wider bend.
    ['C7', '1/20=C6', '1/20=C6+2/22=A5(bend:C6)'],
    // What is bent already gets the note it reaches, plain, on the string above.
    ['D7', '3/15(pre:C5)', '2/13=C5+3/15(pre:C5)'],
  ])('makes the other note of a single one over %s: %s', (chords, one, pair) => {
    const made = press(chosen(build(`w ${one}`, { chords })), 'y').phrase;
    expect(heardAs(made)).toEqual(heardAs(build(`w ${pair}`, { chords })));
  });

  it('says which note is held beside it', () => {
    const made = said(chosen(build('w 3/15(pre:C5)', { chords: 'D7' })), 'bend.unison');
    expect(made).toBe('unison bend with C on string 2, fret 13');
    expect(said(chosen(build('w 2/13=C5', { chords: 'C7' })), 'bend.unison')).toBe(
      'unison bend with C on string 2, fret 13',
    );
  });

  it('takes the pair that was typed string by string', () => {
    const typed = press(cursorOn(plain, 2), 'Delete', 'w', '1', '3', 'ArrowDown', '1', '5', 'y');
    expect(typed.phrase).toEqual(build('w 2/13+3/15(bend:C5)', { chords: 'D7' }));
    // What comes next goes to both.
    expect(press(typed, 'v').phrase.voices[0].events[0]!.notes).toMatchObject([
      { vibrato: 'narrow' },
      { vibrato: 'narrow' },
    ]);
  });

  it('refuses a unison bend of one sound, of two moments, of too wide a step and without a string', () => {
    const why = (line: string) => refusal(chosen(build(line, { chords: 'C7' })), 'bend.unison');
    expect(why('w 6/8')).toBe('no string lies below string 6');
    expect(why('w 1/22')).toBe('string 2 has no fret that bends up to it');
    expect(why('w 1/8(bend:D5)')).toBe('no string lies above string 1');
    expect(why('w 3/12(nat:12)')).toBe('a harmonic is no part of a unison bend');
    expect(why('w 3/8(curl)')).toBe('a note that is curled reaches no other note');
    expect(why('w 2/13+3/x5')).toBe('string 3 is struck already');
    expect(why('w 2/13+3/13+4/13')).toBe('a unison bend has two notes');
    expect(why('h 2/13 3/15')).toBe('the two notes must be struck together');
    expect(why('w 2/5+3/9')).toBe('they sound alike already');
    expect(why('w 1/8+3/8')).toBe('on string 3 a bend rises 4 semitones at most');
  });
});

describe('how far it is bent (M10)', () => {
  it.each([
    [1, 'C#5'],
    [2, 'D5'],
    [3, 'Eb5'],
    [4, 'E5'],
  ])('by %i semitones', (width, target) => {
    expect(ordered(start, 'bend.width', width).phrase).toEqual(overD7(`2/13=C5(bend:${target})`));
  });

  it('goes wider and narrower by semitones between a half tone and two whole tones', () => {
    const full = press(start, 'B');
    expect(press(full, 'Alt+ArrowUp', 'Alt+ArrowUp').phrase).toEqual(overD7('2/13(bend:E5)'));
    expect(press(full, 'Alt+ArrowUp', 'Alt+ArrowDown').phrase).toEqual(full.phrase);
    const widest = press(full, 'Alt+ArrowUp', 'Alt+ArrowUp');
    expect(refusalOfKey(widest, 'Alt+ArrowUp')).toBe(
      'on string 2 a bend rises 4 semitones at most',
    );
    const narrowest = press(full, 'Alt+ArrowDown');
    expect(narrowest.phrase).toEqual(overD7('2/13(bend:C#5)'));
    expect(refusalOfKey(narrowest, 'Alt+ArrowDown')).toBe('a bend rises a semitone at least');
  });

  it.each([5, 6])('by two semitones at most on string %i', (string) => {
    const s = cursorOn(build(`w ${string}/7`, { chords: 'C7' }), string);
    expect(refusal(s, 'bend.width', 2)).toBeNull();
    for (const width of [3, 4]) {
      expect(refusal(s, 'bend.width', width)).toBe(
        `on string ${string} a bend rises 2 semitones at most`,
      );
    }
    expect(refusal(cursorOn(build('w 4/7', { chords: 'C7' }), 4), 'bend.width', 4)).toBeNull();
  });

  it('changes nothing where one string of a double stop cannot', () => {
    const p = build('w 4/7+5/7', { chords: 'C7' });
    expect(refusal(chosen(p), 'bend.width', 3)).toBe(
      'on string 5 a bend rises 2 semitones at most',
    );
    expect(refusal(chosen(build('w 3/7+2/0', { chords: 'C7' })), 'bend.next')).toBe(
      'an open string cannot be bent',
    );
  });
});

describe('a curl', () => {
  it('is a quarter tone without a target, and is taken off by the same key', () => {
    expect(press(start, 'c').phrase).toEqual(overD7('2/13(curl)'));
    expect(press(start, 'c', 'c').phrase).toEqual(plain);
  });

  it('is given to all that are chosen, unless all have it', () => {
    const mixed = chosen(build('q 2/13(curl) 2/10 2/12(bend:C#5) -', { chords: 'D7' }));
    const all = build('q 2/13(curl) 2/10(curl) 2/12(curl) -', { chords: 'D7' });
    expect(press(mixed, 'c').phrase).toEqual(all);
    expect(press(mixed, 'c', 'c').phrase).toEqual(build('q 2/13 2/10 2/12 -', { chords: 'D7' }));
  });

  it('takes the place of a bend', () => {
    expect(press(start, 'B', 'c').phrase).toEqual(overD7('2/13(curl)'));
  });

  it('is made a half tone by the key that widens, and no narrower', () => {
    const curled = press(start, 'c');
    expect(press(curled, 'Alt+ArrowUp').phrase).toEqual(overD7('2/13(bend:C#5)'));
    expect(refusalOfKey(curled, 'Alt+ArrowDown')).toBe('a bend rises a semitone at least');
  });
});

describe('what cannot be bent', () => {
  it.each([
    ['an open string', 'w 2/0', 'an open string cannot be bent'],
    ['a trilled note', 'w 2/10(tr:B4)', 'a note with a trill cannot be bent'],
    ['a natural harmonic', 'w 2/12(nat:12)', 'a natural harmonic is touched, not stopped'],
    ['a dead note', 'w 2/x5', 'a dead note has no pitch'],
  ])('%s', (_, line, because) => {
    const s = cursorOn(build(line, { chords: 'G7' }), 2);
    for (const id of ['bend.next', 'bend.curl']) expect(refusal(s, id)).toBe(because);
    expect(refusal(s, 'bend.width', 1)).toBe(because);
    expect(refusal(s, 'bend.shape', 'pre-bend')).toBe(because);
  });

  it('a moment without a note', () => {
    const s = cursorOn(plain, 2);
    const away = { ...s, selection: { ...s.selection, cursor: { onset: 20_160, string: 2 } } };
    expect(refusal(away, 'bend.next')).toBe('no note is chosen');
  });
});

describe('the shape by name', () => {
  it.each([
    ['bend', '(bend:D5)'],
    ['bend-release', '(rel:D5)'],
    ['pre-bend', '(pre:D5)'],
    ['pre-bend-release', '(prerel:D5)'],
  ])('%s', (shape, written) => {
    const done = ordered(start, 'bend.shape', shape);
    expect(done.phrase).toEqual(overD7(`2/13${written}`));
    expect(refusal(done, 'bend.shape', shape)).toMatch(/already$/u);
    expect(ordered(done, 'bend.shape', 'none').phrase).toEqual(plain);
  });

  it('has nothing to take off from a plain note', () => {
    expect(refusal(start, 'bend.shape', 'none')).toBe('it is not bent');
  });
});

describe('the curve', () => {
  const bent = press(start, 'B');
  const curveOf = (s: typeof bent) =>
    ((s.phrase.voices[0].events[0]!.notes[0] as PitchedNote).bend as Bend).curve.map(
      ({ at, amount }) => `${at}:${amount}`,
    );

  it('reaches its top sooner and later by tenths of the note', () => {
    expect(curveOf(bent)).toEqual(['0:0', '50:100', '100:100']);
    expect(curveOf(ordered(bent, 'bend.pace', 'sooner'))).toEqual(['0:0', '40:100', '100:100']);
    const later = ordered(bent, 'bend.pace', 'later');
    expect(curveOf(later)).toEqual(['0:0', '60:100', '100:100']);
    expect(ordered(later, 'bend.pace', 'sooner').phrase).toEqual(bent.phrase);
  });

  it('stops where its points would meet, and has no pace where nothing rises', () => {
    let s = bent;
    for (let i = 0; i < 4; i++) s = ordered(s, 'bend.pace', 'later');
    expect(curveOf(s)).toEqual(['0:0', '90:100', '100:100']);
    expect(refusal(s, 'bend.pace', 'later')).toBe('it cannot be reached any later');
    expect(refusal(press(start, 'B', 'B', 'B'), 'bend.pace', 'sooner')).toBe(
      'it cannot be reached any sooner',
    );
    expect(refusal(start, 'bend.pace', 'later')).toBe('the note is not bent');
  });

  it('stays when the bend is made wider, and goes with another shape', () => {
    const late = ordered(bent, 'bend.pace', 'later');
    expect(curveOf(press(late, 'Alt+ArrowUp'))).toEqual(['0:0', '60:100', '100:100']);
    expect(curveOf(press(late, 'B'))).toEqual(['0:0', '25:100', '50:100', '75:0', '100:0']);
  });
});

describe('what is said', () => {
  it('names the form', () => {
    const names = [];
    let s = start;
    for (let i = 0; i < 5; i++) {
      names.push(said(s, 'bend.next'));
      s = ordered(s, 'bend.next');
    }
    expect(names).toEqual([
      'bent up',
      'bent up and released',
      'bent before it is struck',
      'bent before it is struck, then released',
      'without a bend',
    ]);
  });
});

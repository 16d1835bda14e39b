import { describe, expect, it } from 'vitest';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { expectProblem, withValue } from '../../../support/broken';
import { build } from '../../../support/build';

/**
 * What is wrong with the last note of a line, and what says so. Each line is right but for that;
 * the last note stands on beat 2 unless it is alone.
 */
type Case = readonly [line: string, field: string, string: number, says: string];

function expectLast(line: string, field: string, string: number, says: string): void {
  const p = build(line);
  const last = p.voices[0].events.length - 1;
  const note = p.voices[0].events[last]!.notes.findIndex((n) => n.string === string);
  expectProblem(p, {
    pointer: `/voices/0/events/${last}/notes/${note}/${field}`,
    bar: 1,
    beat: last + 1,
    string,
    says,
  });
}

const right = (line: string) => expect(checkPhrase(build(line))).toEqual([]);

describe('legato and slides between notes (N3, M11)', () => {
  it.each([
    'q 3/5 3/7(h)',
    'q 3/0 3/7(h)',
    'q 3/7 3/5(p)',
    'q 3/7 3/0(p)',
    'q 3/5 3/9(s) 3/4(S)',
    'q 3/5+4/5 3/7(h)+4/4(p)',
    'q 2/5 3/7(h)@g:3/5',
    'q 3/7(art:12) 3/9(h)',
    'q 3/7(tap)',
  ])('are right: %s', right);

  it.each<Case>([
    ['q 3/7 3/5(h)', 'attack', 3, 'from fret 7 to fret 5 does not go up'],
    ['q 3/5 3/5(h)', 'attack', 3, 'from fret 5 to fret 5 does not go up'],
    ['q 3/5 3/7(p)', 'attack', 3, 'from fret 5 to fret 7 does not go down'],
    ['q 3/5 3/5(p)', 'attack', 3, 'from fret 5 to fret 5 does not go down'],
    ['q 3/5 3/5(s)', 'attack', 3, 'goes nowhere'],
    ['q 3/5 3/5(S)', 'attack', 3, 'goes nowhere'],
    ['q 3/0 3/5(s)', 'attack', 3, 'open string cannot be slid'],
    ['q 3/5 3/0(S)', 'attack', 3, 'open string cannot be slid'],
    ['q 3/7(h)', 'attack', 3, 'a hammer-on has no note before it on string 3'],
    ['q 2/5 3/7(p)', 'attack', 3, 'a pull-off has no note before it on string 3'],
    ['q 3/x5 3/7(h)', 'attack', 3, 'no note before it on string 3'],
    ['q 3/5(out:up) 3/7(S)', 'attack', 3, 'a note that slides off'],
    ['q 3/12(nat:12) 3/14(h)', 'attack', 3, 'a natural harmonic, where nothing is stopped'],
    ['q 3/0(tap)', 'attack', 3, 'open string cannot be tapped'],
  ])('are wrong: %s', expectLast);

  it.each([
    ['q 3/7 3/5(h)', 'Make it a pull-off.'],
    ['q 3/5 3/7(p)', 'Make it a hammer-on.'],
    ['q 3/5 3/5(h)', 'Pluck the note.'],
    ['q 3/5 3/5(p)', 'Pluck the note.'],
  ])('are mended: %s', (text, fix) => {
    expect(checkPhrase(build(text))[0]?.fix).toBe(fix);
  });

  it('need a note that lasts up to them', () => {
    const p = build('q 3/5 - 3/7(h)');
    expectProblem(p, {
      pointer: '/voices/0/events/1/notes/0/attack',
      bar: 1,
      beat: 3,
      string: 3,
      says: 'no note before it',
    });
  });
});

describe('slides from and to nowhere (N3)', () => {
  it.each([
    'q 3/2(in:-1)',
    'q 3/19(in:3)',
    'q 3/2(in:below)',
    'q 3/21(in:above)',
    'q 3/1(out:down)',
    'q 2/9(in:-1)@g:3/7',
  ])('are right: %s', right);

  it.each<Case>([
    ['q 3/2(in:-2)', 'slideIn', 3, 'would start at fret 0'],
    ['q 3/20(in:3)', 'slideIn', 3, 'would start at fret 23'],
    ['q 3/1(in:below)', 'slideIn', 3, 'would start at fret 0'],
    ['q 3/22(in:above)', 'slideIn', 3, 'would start at fret 23'],
    ['q 3/0(in:1)', 'slideIn', 3, 'open string cannot be slid into'],
    ['q 3/0(out:up)', 'slideOut', 3, 'open string cannot slide off'],
    ['q 3/5 3/7(h,in:-1)', 'slideIn', 3, 'reached by a hammer-on cannot be slid into'],
    ['q 3/9(in:-1)@g:3/7', 'slideIn', 3, 'a grace note before it starts it too'],
  ])('are wrong: %s', expectLast);

  it('count their starting fret from the capo', () => {
    const p = build('q 3/19(in:1)', { instrument: { capo: 3 } });
    expect(checkPhrase(p)).toMatchObject([{ message: expect.stringContaining('fret 20') }]);
  });
});

describe('bends (M10)', () => {
  // G string fret 5 is C4; A string fret 7 is E3, low E string fret 7 is B2.
  it.each([
    'q 3/5(bend:C#4)',
    'q 3/5(bend:E4)',
    'q 4/5(rel:B3)',
    'q 5/7(bend:F#3)',
    'q 6/7(pre:C#3)',
    'q 3/5(prerel:D4)',
    'q 3/5(curl)',
    'q 3/5(bend:D4,vib)',
    'q 3/5(bend:D4,art:12)',
  ])('are right: %s', right);

  it.each<Case>([
    ['q 3/5(bend:C4)', 'bend/target', 3, 'from C4 to C4 is 0 semitones'],
    ['q 3/5(rel:B3)', 'bend/target', 3, '-1 semitones'],
    ['q 3/5(bend:F4)', 'bend/target', 3, '5 semitones'],
    ['q 5/7(bend:G3)', 'bend/target', 5, '3 semitones'],
    ['q 6/7(bend:D3)', 'bend/target', 6, '3 semitones'],
    ['q 3/0(bend:A3)', 'bend', 3, 'open string cannot be bent'],
    ['q 3/0(curl)', 'bend', 3, 'open string cannot be bent'],
  ])('are wrong: %s', expectLast);

  it('stop at two semitones on a seventh string too', () => {
    const seven = build('q 5/7').instrument.tuning;
    const tuning = [...seven, { letter: 'B', alter: 0, octave: 1 } as const];
    const wide = build('q 7/5(bend:G2)', { instrument: { tuning } });
    expect(checkPhrase(wide)).toMatchObject([{ string: 7 }]);
  });

  const curve = (shape: string, ...points: readonly (readonly [number, number])[]) =>
    withValue(
      build(`q 3/5(${shape})`),
      '/voices/0/events/0/notes/0/bend/curve',
      points.map(([at, amount]) => ({ at, amount })),
    );

  it.each([
    curve('bend:D4', [0, 0], [10, 60], [20, 30], [100, 100]),
    curve('rel:D4', [0, 0], [33.5, 100], [100, 0]),
    curve('pre:D4', [0, 100], [50, 90], [100, 100]),
    curve('curl', [0, 0], [70, 0], [100, 100]),
  ])('have a curve that fits: %#', (p) => {
    expect(checkPhrase(p)).toEqual([]);
  });

  it.each([
    [curve('bend:D4', [5, 0], [100, 100]), 'cover the note'],
    [curve('bend:D4', [0, 0], [90, 100]), 'cover the note'],
    [curve('bend:D4', [0, 0], [60, 50], [40, 80], [100, 100]), 'not ascending'],
    [curve('bend:D4', [0, 0], [50, 50], [50, 80], [100, 100]), 'not ascending'],
    [curve('bend:D4', [0, 0], [50, 100], [100, 80]), 'from 0 to 80 percent, which is no bend'],
    [curve('bend:D4', [0, 10], [100, 100]), 'from 10 to 100 percent'],
    [curve('rel:D4', [0, 0], [50, 100], [100, 50]), 'which is no bend-release'],
    [curve('rel:D4', [0, 0], [50, 90], [100, 0]), 'never reaches its target'],
    [curve('pre:D4', [0, 0], [100, 100]), 'which is no pre-bend'],
    [curve('prerel:D4', [0, 100], [100, 10]), 'which is no pre-bend-release'],
    [curve('curl', [0, 100], [100, 0]), 'which is no curl'],
    [curve('curl'), 'cover the note'],
  ])('have a curve that fits, else: %# %s', (p, says) => {
    expectProblem(p, {
      pointer: '/voices/0/events/0/notes/0/bend/curve',
      bar: 1,
      beat: 1,
      string: 3,
      says,
    });
  });
});

describe('vibrato and trills', () => {
  it.each(['q 3/5(vib:wide)', 'q 3/5(tr:C#4)', 'q 3/0(tr:A3)', 'q 3/10(tr:F5)'])(
    'are right: %s',
    right,
  );

  it.each<Case>([
    ['q 3/0(vib)', 'vibrato', 3, 'open string cannot be given vibrato'],
    ['q 3/5(vib,tr:D4)', 'vibrato', 3, 'vibrato and a trill'],
    ['q 3/5(tr:C4)', 'trill/upper', 3, '0 semitones above'],
    ['q 3/5(tr:Cb4)', 'trill/upper', 3, '-1 semitones above'],
    ['q 3/5(tr:C#5)', 'trill/upper', 3, '13 semitones above'],
    ['q 3/20(tr:F#5)', 'trill/upper', 3, 'would be at fret 23'],
    ['q 3/5(bend:D4,tr:D4)', 'trill', 3, 'a bent note cannot be trilled'],
  ])('are wrong: %s', expectLast);
});

describe('harmonics (M11)', () => {
  it.each([
    'q 3/12(nat:12)',
    'q 3/7(nat:19)',
    'q 3/19(nat:19)',
    'q 3/5(nat:24)',
    'q 3/12(nat:12,tap)',
    'q 3/5(art:12,vib)',
    'q 3/0(pinch:24)',
  ])('are right: %s', right);

  it('lie over the capo', () => {
    const p = build('q 3/12(nat:12)', { instrument: { capo: 2 } });
    expect(p.voices[0].events[0]!.notes[0]).toMatchObject({ pitch: { letter: 'A', octave: 4 } });
    expect(checkPhrase(p)).toEqual([]);
  });

  it.each<Case>([
    [
      'q 3/7(nat:12)',
      'harmonic',
      3,
      'no natural harmonic 12 semitones above the open string lies over fret 7',
    ],
    ['q 3/4(nat:24)', 'harmonic', 3, 'lies over fret 4'],
    ['q 3/0(art:12)', 'harmonic', 3, 'is a natural one'],
    ['q 3/12(nat:12,vib)', 'vibrato', 3, 'takes no vibrato'],
    ['q 3/12(nat:12,curl)', 'bend', 3, 'takes no bend'],
    ['q 3/12(nat:12,in:-1)', 'slideIn', 3, 'takes no slide-in'],
    ['q 3/12(nat:12,out:up)', 'slideOut', 3, 'takes no slide off'],
    ['q 3/12(nat:12,tr:A4)', 'trill', 3, 'takes no trill'],
    ['q 3/5 3/12(nat:12,h)', 'attack', 3, 'cannot be reached by a hammer-on'],
  ])('are wrong: %s', expectLast);

  it('sound their node, not their fret', () => {
    const p = build('q 3/7(nat:19)');
    const pitch = { letter: 'D', alter: 0, octave: 4 };
    expectProblem(withValue(p, '/voices/0/events/0/notes/0/pitch', pitch), {
      pointer: '/voices/0/events/0/notes/0/pitch',
      bar: 1,
      beat: 1,
      string: 3,
      says: 'D4 (MIDI 62) is not what the place on the neck sounds, MIDI 74',
    });
  });
});

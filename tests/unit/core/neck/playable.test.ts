import { describe, expect, it } from 'vitest';
import { DEFAULT_LIMITS } from '../../../../src/core/neck/limits';
import { checkPlayable } from '../../../../src/core/neck/playable';
import { STANDARD_GUITAR } from '../../../../src/core/phrase/instrument';
import type { Phrase } from '../../../../src/core/phrase/types';
import { type BuildOptions, build } from '../../../support/build';

/** Rule and notes of every violation, in order. */
function faults(line: string, options: BuildOptions = {}): string[] {
  return checkPlayable(build(line, options)).map((v) => `${v.rule} ${v.noteIds.join('+')}`);
}

describe('[N3] one note a string at a time', () => {
  it('lets a note follow on its string in the same voice', () => {
    expect(faults('e 3/5 3/7 3/5')).toEqual([]);
  });

  it('refuses a line over the string of a held drone, at each of its notes', () => {
    expect(faults('q 5/3 4/2 5/5 4/5', { second: 'w 5/0' })).toEqual([
      'one-note-a-string n1+n5',
      'one-note-a-string n3+n5',
    ]);
  });

  it('refuses a drone struck under a held note, and allows it when that has ended', () => {
    expect(faults('h 6/3 q 4/2 5/3', { second: 'q - 6/0' })).toEqual(['one-note-a-string n4+n1']);
    expect(faults('q 6/3 q 4/2 5/3', { second: 'q - 6/0' })).toEqual([]);
  });

  it('does not let a grace play on a string the other voice still holds', () => {
    expect(faults('q - 3/5@g:6/3', { second: 'h 6/0' })).toEqual(['one-note-a-string n1:g0:0+n2']);
    expect(faults('q - 3/5@g:6/3', { second: 'e 6/0' })).toEqual([]);
  });

  it('binds the string of a dead note', () => {
    expect(faults('q 4/x5 4/x5', { second: 'h 4/0' })).toEqual([
      'one-note-a-string n1+n3',
      'one-note-a-string n2+n3',
    ]);
  });
});

describe('[N3] reach and fingers of everything that sounds', () => {
  it('counts what the other voice holds', () => {
    // Frets 3 to 8 are 239.8 − 103.1 = 137 mm, 4 to 8 are 106.
    const options = { second: 'h 6/3' };
    expect(faults('q 1/7 1/8', options)).toEqual(['reach n2+n3']);
    const [v] = checkPlayable(build('q 1/7 1/8', options));
    expect(v).toMatchObject({ onset: 10_080, string: 1, fret: 8 });
    expect(v?.mm).toBeCloseTo(136.687, 2);
  });

  it('is a setting', () => {
    const p = build('q 1/7 1/8', { second: 'h 6/3' });
    expect(checkPlayable(p, { ...DEFAULT_LIMITS, reach: 137 })).toEqual([]);
    expect(checkPlayable(p, { ...DEFAULT_LIMITS, reach: 100 })).toHaveLength(2);
  });

  it('is measured from the nut with a capo on', () => {
    const options = { second: 'h 6/3', instrument: { capo: 2 } };
    expect(faults('q 1/7 1/8', options)).toEqual([]);
  });

  it("counts a trill's upper note for reach and as a finger of its own", () => {
    expect(faults('q 1/7(tr:C5)+6/3')).toEqual(['reach n1+n2']);
    expect(faults('q 1/5+2/6+3/7+4/8')).toEqual([]);
    expect(faults('q 1/5(tr:Bb4)+2/6+3/7+4/8')).toEqual(['four-fingers n1+n2+n3+n4']);
  });

  it('leaves out open, dead, touched and tapped notes and the thumb as a finger', () => {
    expect(faults('q 1/12+6/0+5/x2')).toEqual([]);
    expect(faults('q 1/12(nat:12)+6/2')).toEqual([]);
    expect(faults('q 6/2+1/12(tap)')).toEqual([]);
    expect(faults('q 6/1+5/3+4/4+3/2+2/5')).toEqual(['four-fingers n5+n4+n3+n2+n1']);
    expect(faults('q 6/1(f:T)+5/3+4/4+3/2+2/5')).toEqual([]);
  });

  it('judges the start of a slide-in against what is held', () => {
    // From fret 3 to the held 8: 137 mm; the note itself at 6 would be in reach.
    expect(faults('q 1/6(in:-3)', { second: 'q 6/8' })).toEqual([]);
    expect(faults('q - 1/6(in:-3)', { second: 'h 6/8' })).toEqual(['reach n1+n2']);
  });
});

describe('[N3] what an open string cannot do', () => {
  it.each([
    ['bend', 'q 3/0(bend:A3)', 'cannot be bent'],
    ['curl', 'q 3/0(curl)', 'cannot be bent'],
    ['vibrato', 'q 3/0(vib)', 'vibrato'],
    ['slide-in', 'q 3/0(in:below)', 'slid into'],
    ['slide-out', 'q 3/0(out:up)', 'slid from'],
    ['slide from', 'q 3/0 3/2(s)', 'slid from'],
    ['slide to, plucked again', 'q 3/2 3/0(S)', 'slid to'],
    ['tap', 'q 3/0(tap)', 'tapped'],
  ])('%s', (_, line, words) => {
    const [v, ...more] = checkPlayable(build(line));
    expect(more).toEqual([]);
    expect(v).toMatchObject({ rule: 'open-string', string: 3, fret: 0 });
    expect(v?.message).toContain(words);
  });

  it('hammering onto it is refused twice over: it is open, and it is not higher', () => {
    expect(faults('q 3/2 3/0(h)')).toEqual(['open-string n2', 'legato-direction n2+n1']);
  });

  it('hammering from it, pulling off to it and a trill over it are fine', () => {
    expect(faults('e 3/0 3/1(h) 3/0(p) 3/0(tr:A3)')).toEqual([]);
  });
});

describe('[N3] techniques that stay on one string', () => {
  it('refuses a hammer-on or pull-off from another string or after a rest', () => {
    expect(faults('e 3/5 2/6(h)')).toEqual(['same-string n2']);
    expect(faults('e 3/7 - 3/5(p)')).toEqual(['same-string n2']);
  });

  it('refuses the wrong direction', () => {
    expect(faults('e 3/7 3/5(h) 3/7(p) 3/7(s)')).toEqual([
      'legato-direction n2+n1',
      'legato-direction n3+n2',
      'legato-direction n4+n3',
    ]);
  });

  it('starts from a grace on the same string, also past a grace on another', () => {
    expect(faults('q 3/7(h)@g:3/5')).toEqual([]);
    expect(faults('q 3/7(h)@g:3/5;2/5')).toEqual([]);
    expect(faults('q 3/7(h)@g:2/5')).toEqual(['same-string n1']);
    expect(faults('q 3/7@g:3/4;3/5~h')).toEqual([]);
    expect(faults('q 3/7@g:3/5;3/4~h')).toEqual(['legato-direction n1:g1:0+n1:g0:0']);
  });

  it('keeps the source of a hammer-on in the hand through a grace on another string', () => {
    // The source at fret 1 is held while the grace at fret 9 is played: 226 mm.
    expect(faults('q 3/1 3/3(h)@g:1/9')).toEqual(['reach n2:g0:0+n1']);
    expect(faults('q 3/1 3/3@g:1/9')).toEqual([]);
  });
});

describe('[N3][M10] places of single notes', () => {
  it.each([
    ['q 6/3(bend:A2)', []],
    ['q 6/3(bend:Bb2)', ['bend-width n1']],
    ['q 5/3(bend:Eb3)', ['bend-width n1']],
    ['q 4/5(bend:B3)', []],
    ['q 4/5(bend:C4)', ['bend-width n1']],
    ['q 4/5(bend:G3)', ['bend-width n1']],
    ['q 2/1(in:-1)', ['slide-start n1']],
    ['q 2/2(in:-1)', []],
    ['q 2/3(in:-3)', ['slide-start n1']],
    ['q 2/1(in:below)', ['slide-start n1']],
    ['q 2/21(in:2)', ['slide-start n1']],
    ['q 2/21(in:1)', []],
    ['q 2/22(in:above)', ['slide-start n1']],
    ['q 2/1(out:down)', ['slide-start n1']],
    ['q 2/22(out:up)', ['slide-start n1']],
    ['q 1/21(tr:D6)', []],
    ['q 1/21(tr:Eb6)', ['trill-fret n1']],
    ['q 1/23', ['off-the-neck n1']],
    ['q 3/7@g:3/23', ['off-the-neck n1:g0:0']],
  ])('%s → %j', (line, expected) => {
    expect(faults(line)).toEqual(expected);
  });

  it('counts frets from the capo', () => {
    const instrument = { capo: 5 };
    expect(faults('q 1/17', { instrument })).toEqual([]);
    expect(faults('q 1/18', { instrument })).toEqual(['off-the-neck n1']);
    expect(faults('q 1/0(bend:B4)', { instrument })).toEqual(['open-string n1']);
  });

  it('names strings and nodes that are not there', () => {
    const p = build('q 3/7(nat:19) 2/5');
    const [a, b] = p.voices[0].events;
    const bad = (events: unknown): Phrase =>
      ({ ...p, voices: [{ events, tuplets: [] }] }) as Phrase;
    const moved = bad([
      { ...a, notes: [{ ...a!.notes[0], fret: 9 }] },
      { ...b, notes: [{ ...b!.notes[0], string: 7 }] },
    ]);
    expect(checkPlayable(moved).map((v) => [v.rule, v.message])).toEqual([
      ['harmonic-node', 'fret 9 is not a node of a natural harmonic'],
      ['no-such-string', 'there is no string 7'],
    ]);
  });

  it('reads other numbers of strings', () => {
    const seven = [...STANDARD_GUITAR.tuning, { letter: 'B', alter: 0, octave: 1 } as const];
    expect(faults('q 7/3(bend:E2)', { instrument: { tuning: seven } })).toEqual([]);
    expect(faults('q 7/3(bend:F2)', { instrument: { tuning: seven } })).toEqual(['bend-width n1']);
    const four = {
      ...build('q 5/3'),
      instrument: { ...STANDARD_GUITAR, tuning: seven.slice(0, 4) },
    };
    expect(checkPlayable(four).map((v) => v.rule)).toEqual(['no-such-string']);
  });
});

describe('MUSIC.md section 7, what the worked examples say of the neck', () => {
  it('1: the double-stop bend moved to D7 at fret 0 cannot be bent', () => {
    expect(faults('q 3/0(bend:A3)+2/0(curl)')).toEqual(['open-string n2', 'open-string n1']);
    expect(faults('q 3/5(bend:D4)+2/5(bend:F4)', { chords: 'G7' })).toEqual([]);
    expect(faults('q 3/10(bend:G4)+2/10(bend:Bb4)', { chords: 'C7' })).toEqual([]);
  });

  it('3: string 3 open hammered to fret 1 is legal', () => {
    expect(faults('e 3/0 3/1(h) 2/1 1/1', { chords: 'Fm7' })).toEqual([]);
  });

  it('4: slide-ins of a semitone into a double stop, and a unison bend', () => {
    expect(faults('q 3/10(in:-1)+2/10(in:-1) 2/13+3/15(bend:C5)', { chords: 'F' })).toEqual([]);
  });
});

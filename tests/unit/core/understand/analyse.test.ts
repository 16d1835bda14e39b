import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../../src/core/phrase/types';
import { formatDegree } from '../../../../src/core/theory/degree';
import { analyse } from '../../../../src/core/understand/analyse';
import { type BuildOptions, build } from '../../../support/build';

function read(line: string, o: BuildOptions) {
  return analyse(build(line, o)).readings;
}

const degrees = (line: string, o: BuildOptions) =>
  read(line, o).map((r) =>
    r.start.chordDegree === null ? null : formatDegree(r.start.chordDegree),
  );

const roles = (line: string, o: BuildOptions) => read(line, o).map((r) => r.role);

/** The same phrase with the nth event of the first voice made longer. */
function lengthen(p: Phrase, event: number, duration: number): Phrase {
  const events = p.voices[0].events.map((e, i) => (i === event ? { ...e, duration } : e));
  return { ...p, voices: [{ ...p.voices[0], events }] };
}

describe('degrees (D1, D2)', () => {
  it('over a G chord D, E and F are 5, 6 and ♭7 (common practice)', () => {
    expect(degrees('q 4/0=D 4/2=E 4/3=F', { chords: 'G', key: 'G' })).toEqual(['5', '6', 'b7']);
  });

  it('count from the root of a slash chord, and there are none under N.C. or without a lane', () => {
    expect(degrees('q 3/5=C', { chords: 'C/E', key: 'C' })).toEqual(['R']);
    expect(degrees('q 3/5=C', { chords: 'NC', key: 'C' })).toEqual([null]);
    const [r] = read('q 3/5=C', { key: 'G' });
    expect(r!.start.chordDegree).toBeNull();
    expect(formatDegree(r!.start.keyDegree)).toBe('4');
    expect(r!.anchor).toBe('key');
  });

  it('follow the chord at the onset, and a held note gets its later degree', () => {
    const p = lengthen(build('h - 2/6=F | h -', { chords: 'Bb7 | Eb7', key: 'Bb' }), 0, 40_320);
    const [r] = analyse(p).readings;
    expect(formatDegree(r!.start.chordDegree!)).toBe('5');
    expect(formatDegree(r!.laterDegree!)).toBe('2');
  });

  it('a pickup before the first symbol uses the first chord', () => {
    const p = build('e 2/5=E | w 3/5', { chords: 'C7', key: 'C', pickup: 5_040 });
    const late = { ...p, chords: [{ ...p.chords[0]!, onset: 5_040 }] };
    expect(formatDegree(analyse(late).readings[0]!.start.chordDegree!)).toBe('3');
  });

  it('a bend has both: ♭7 to R (D5)', () => {
    const [r] = read('q 2/13=C(bend:D5)', { chords: 'D7', key: 'D' });
    expect(formatDegree(r!.start.chordDegree!)).toBe('b7');
    expect(formatDegree(r!.heard.chordDegree!)).toBe('R');
    expect(r!.role).toBe('chord tone');
  });
});

describe('anticipation (D2)', () => {
  const line = 'q - - - e - 3/7=D | h 3/8';
  const chords = 'F7 | Bb7';

  it('D on the last eighth of F7, tied over into B♭7, is its 3', () => {
    const p = lengthen(build(line, { chords, key: 'F' }), 0, 10_080);
    const shifted = {
      ...p,
      voices: [{ ...p.voices[0], events: p.voices[0].events.slice(0, 1) }] as const,
    };
    const [r] = analyse(shifted).readings;
    expect(r!.anticipates).toBe(true);
    expect(formatDegree(r!.start.chordDegree!)).toBe('3');
  });

  it('followed at once by a note on the change it is not one; by a rest it is', () => {
    expect(read(line, { chords, key: 'F' })[0]!.anticipates).toBe(false);
    expect(read('q - - - e - 3/7=D | h -', { chords, key: 'F' })[0]!.anticipates).toBe(true);
    expect(read('q - - - s - - 3/7=D - | h 3/8', { chords, key: 'F' })[0]!.anticipates).toBe(true);
  });

  it('more than an eighth before, or a tone of both chords, it is not one', () => {
    expect(read('q - - - 3/7=D | h -', { chords, key: 'F' })[0]!.anticipates).toBe(false);
    expect(read('q - - - e - 2/6=F | h -', { chords, key: 'F' })[0]!.anticipates).toBe(false);
  });

  it('the user may flip it either way', () => {
    expect(read('q - - - e - 3/7=D(noant) | h -', { chords, key: 'F' })[0]!.anticipates).toBe(
      false,
    );
    expect(read('q - - - 3/7=D(ant) | h 3/8', { chords, key: 'F' })[0]!.anticipates).toBe(true);
  });
});

describe('roles (D3)', () => {
  it('in order: chord tone, blue note, approach, passing, neighbour, extension, outside', () => {
    const o = { chords: 'C7', key: 'C' };
    expect(roles('q 2/11=Bb', o)).toEqual(['chord tone']);
    expect(roles('q 3/8=Eb', o)).toEqual(['blue note']);
    expect(roles('q 2/7=F# 2/8=G', o)).toEqual(['blue note', 'chord tone']);
    expect(roles('q 2/4=D# 2/5=E', o)).toEqual(['approach', 'chord tone']);
    expect(roles('q 3/5=C 3/7=D 3/9=E', o)).toEqual(['chord tone', 'passing', 'chord tone']);
    expect(roles('q 3/5=C 3/7=D 3/5=C', o)).toEqual(['chord tone', 'neighbour', 'chord tone']);
    expect(roles('q 3/7=D - 3/7=D', o)).toEqual(['extension', 'extension']);
    expect(roles('q 3/1=Ab - - -', o)).toEqual(['outside']);
  });

  it('what the symbol contains counts as a chord tone, the slash bass too', () => {
    expect(roles('q 3/7=D', { chords: 'C9', key: 'C' })).toEqual(['chord tone']);
    expect(roles('q 5/5=D', { chords: 'C/D', key: 'C' })).toEqual(['chord tone']);
  });

  it('♭5 is a blue note over minor too, ♭3 is a chord tone there, ♭7 is blue over a plain triad', () => {
    expect(roles('q 3/11=Gb', { chords: 'Cm7', key: 'Cm' })).toEqual(['blue note']);
    expect(roles('q 3/8=Eb', { chords: 'Cm7', key: 'Cm' })).toEqual(['chord tone']);
    expect(roles('q 2/11=Bb', { chords: 'C', key: 'C' })).toEqual(['blue note']);
    expect(roles('q 3/11=Gb', { chords: 'Cm7b5', key: 'Cm' })).toEqual(['chord tone']);
  });

  it('over a power chord a 3 counts as its third and a ♭3 is a blue note (M4)', () => {
    const o = { chords: 'C5', key: 'C' };
    expect(roles('q 3/9=E', o)).toEqual(['chord tone']);
    expect(roles('q 3/8=Eb 3/9=E', o)).toEqual(['blue note', 'chord tone']);
  });

  it('what the user says goes before every rule', () => {
    expect(roles('q 2/11=Bb(role:passing)', { chords: 'C7', key: 'C' })).toEqual(['passing']);
  });
});

describe('goals and anchors (D4, M5)', () => {
  it('an enclosure: both chromatic notes lead to the note they enclose', () => {
    const r = read('e 2/9=G# 2/7=F# q 2/8=G', { chords: 'C7', key: 'C' });
    expect(r.map((x) => x.goal)).toEqual(['n3', 'n3', null]);
    expect(r[0]!.anchor).toBe('goal');
  });

  it('more than a quarter after its end there is no goal', () => {
    expect(read('e 2/4=D# e - q - e - 2/5=E', { chords: 'C7', key: 'C' })[0]!.goal).toBeNull();
    expect(read('e 2/4=D# q - e 2/5=E', { chords: 'C7', key: 'C' })[0]!.goal).toBe('n2');
  });

  it('in a double stop the one on its string, else the nearest', () => {
    const r = read('e 3/8=D# 3/9=E+2/8=G', { chords: 'C7', key: 'C' });
    expect(r[0]!.goal).toBe('n2');
    const across = read('e 3/8=D# 4/14=E+2/8=G', { chords: 'C7', key: 'C' });
    expect(across[0]!.goal).toBe('n2');
  });

  it('an open string under two onsets of the other voice is a drone; under one it is not', () => {
    const o = { chords: 'A7', key: 'A' };
    const drone = analyse(build('q 3/2 3/4 h 3/6', { ...o, second: 'w 5/0' }));
    expect(drone.byId.get('n4')).toMatchObject({ drone: true, anchor: 'key', anchorBy: 'rule' });
    expect(analyse(build('w 3/2', { ...o, second: 'w 5/0' })).byId.get('n2')?.drone).toBe(false);
  });
});

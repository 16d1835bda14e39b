import { describe, expect, it } from 'vitest';
import { startEditing } from '../../../../src/core/edit/state';
import { midiOf } from '../../../../src/core/theory/pitch';
import { analyse } from '../../../../src/core/understand/analyse';
import { build } from '../../../support/build';
import { emptyPhrase, press } from '../../../support/edit';
import { chosen, cursorOn, ordered, refusal, said } from '../../../support/technique';

const c7 = (line: string) => build(line, { chords: 'C7' });
const one = cursorOn(c7('w 3/8=Eb4'), 3);

describe('anchor (M5) and role (D3)', () => {
  it.each([
    ['chord', 'its chord'],
    ['key', 'the key'],
    ['goal', 'the note it leads to'],
  ])('follows the %s, or what is usual again', (anchor, name) => {
    const done = ordered(one, 'mean.anchor', anchor);
    expect(done.phrase).toEqual(c7(`w 3/8=Eb4(anchor:${anchor})`));
    expect(refusal(done, 'mean.anchor', anchor)).toBe(`it follows ${name} already`);
    expect(ordered(done, 'mean.anchor', 'automatic').phrase).toEqual(one.phrase);
  });

  it.each(['chord tone', 'blue note', 'approach', 'passing', 'neighbour', 'extension', 'outside'])(
    'is marked as %s, and read so before every rule',
    (role) => {
      const done = ordered(one, 'mean.role', role);
      expect(done.phrase).toEqual(c7(`w 3/8=Eb4(role:${role.replace(' ', '-')})`));
      expect(analyse(done.phrase).byId.get('n1')?.role).toBe(role);
      expect(refusal(done, 'mean.role', role)).toBe(`it is marked as ${role} already`);
      expect([said(one, 'mean.role', role), said(done, 'mean.role', 'automatic')]).toEqual([
        role,
        'as the rules read it',
      ]);
      expect(ordered(done, 'mean.role', 'automatic').phrase).toEqual(one.phrase);
    },
  );

  it('each note of a double stop, or both', () => {
    const p = c7('w 3/7+2/8');
    expect(ordered(cursorOn(p, 2), 'mean.anchor', 'key').phrase).toEqual(
      c7('w 3/7+2/8(anchor:key)'),
    );
    expect(ordered(chosen(p), 'mean.anchor', 'key').phrase).toEqual(
      c7('w 3/7(anchor:key)+2/8(anchor:key)'),
    );
  });

  it('says nothing of a dead note', () => {
    const dead = cursorOn(c7('w 3/x7'), 3);
    expect(refusal(dead, 'mean.role', 'outside')).toBe('a dead note has no pitch');
    expect(refusal(dead, 'mean.anchor', 'key')).toBe('a dead note has no pitch');
  });
});

describe('anticipation (D2)', () => {
  /** F7 | Bb7 with D on the last eighth tied over: 3 of Bb7 (check value of D2). */
  const push = build('h 3/2 q 3/2 e - 3/7 | q 3/7 h. -', { chords: 'F7 | Bb7' });
  const tied = {
    ...push,
    voices: [
      {
        ...push.voices[0],
        events: push.voices[0].events
          .slice(0, 3)
          .map((e, i) => (i === 2 ? { ...e, duration: 5_040 + 10_080 } : e)),
      },
    ],
  } as unknown as typeof push;
  const s = cursorOn(tied, 3, 2);
  const degreeOf = (p: typeof push) => {
    const r = analyse(p).byId.get('n3');
    return [r?.anticipates, r?.heard.chordDegree];
  };

  it('is flipped to this chord and back, and read so', () => {
    expect(degreeOf(tied)).toEqual([true, { number: 3, alter: 0 }]);
    const here = ordered(s, 'mean.anticipation');
    expect(here.phrase.voices[0].events[2]!.notes[0]).toMatchObject({ anticipation: false });
    // D is the sixth of F7.
    expect(degreeOf(here.phrase)).toEqual([false, { number: 6, alter: 0 }]);
    const back = ordered(here, 'mean.anticipation');
    expect(back.phrase.voices[0].events[2]!.notes[0]).toMatchObject({ anticipation: true });
    expect(degreeOf(back.phrase)).toEqual([true, { number: 3, alter: 0 }]);
  });

  it('needs a chord that comes after', () => {
    expect(refusal(one, 'mean.anticipation')).toBe('no other chord comes after it');
    const last = 'no other chord comes after it';
    expect(refusal(cursorOn(push, 3, 3), 'mean.anticipation')).toBe(last);
    expect(refusal(cursorOn(build('w 3/7 | 3/7'), 3, 1), 'mean.anticipation')).toBe(last);
  });
});

describe('the other name of a sound (D1)', () => {
  it('goes round the usual names: flat 3 and sharp 2, flat 5 and sharp 4', () => {
    const sharp = ordered(one, 'mean.respell');
    expect(sharp.phrase).toEqual(c7('w 3/8=D#4'));
    expect(ordered(sharp, 'mean.respell').phrase).toEqual(one.phrase);
    const tritone = cursorOn(c7('w 2/7=Gb4'), 2);
    expect(ordered(tritone, 'mean.respell').phrase).toEqual(c7('w 2/7=F#4'));
  });

  it('is refused where there is one name', () => {
    expect(refusal(cursorOn(c7('w 3/9'), 3), 'mean.respell')).toBe('it has one usual name here, 3');
  });

  it('never changes what sounds', () => {
    for (let fret = 0; fret < 12; fret++) {
      const s = cursorOn(c7(`w 3/${fret}`), 3);
      if (refusal(s, 'mean.respell') !== null) continue;
      const note = ordered(s, 'mean.respell').phrase.voices[0].events[0]!.notes[0]!;
      expect(note.kind === 'pitched' && midiOf(note.pitch)).toBe(55 + fret);
    }
  });
});

describe('what was struck on an instrument', () => {
  const start = startEditing(emptyPhrase({ chords: [{ onset: 0, symbol: 'C7' as never }] }));
  const notesOf = (s: typeof start) =>
    s.phrase.voices[0].events.map((e) => e.notes.map((n) => `${n.string}/${n.fret}`).join('+'));

  it('takes the strings that are told, and goes on', () => {
    const s = ordered(start, 'write.struck', [
      { midi: 60, string: 3 },
      { midi: 64, string: 2 },
    ]);
    // C4 on G: fret 5; E4 on B: fret 5.
    expect(notesOf(s)).toEqual(['2/5+3/5']);
    expect(s.selection.cursor.onset).toBe(5_040);
    expect(s.phrase.voices[0].events[0]).toMatchObject({ onset: 0, duration: 5_040 });
  });

  it('leaves a string that is told to its note, and finds another place for what lies off it', () => {
    // E4 would go to string 2 under the hand; C4 is said to be there.
    const told = ordered(start, 'write.struck', [{ midi: 64 }, { midi: 60, string: 2 }]);
    const notes = told.phrase.voices[0].events[0]!.notes;
    expect(notes.find((n) => n.string === 2)?.fret).toBe(1);
    expect(notes).toHaveLength(2);
    // D6 is on no fret of string 6, and on fret 22 of string 1.
    expect(notesOf(ordered(start, 'write.struck', [{ midi: 86, string: 6 }]))).toEqual(['1/22']);
    expect(notesOf(ordered(start, 'write.struck', [{ midi: 62, string: 6 }]))).toEqual(['6/22']);
  });

  it('is fresh, so that a technique goes to it', () => {
    const s = press(ordered(start, 'write.struck', [{ midi: 62, string: 3 }]), 'B');
    expect(s.phrase.voices).toEqual(build('e 3/7(bend:E4)', { chords: 'C7' }).voices);
  });

  it('finds a string of its own for every note', () => {
    // E2 A2 D3 G3 B3 E4, the open strings (P4).
    const s = ordered(
      start,
      'write.struck',
      [40, 45, 50, 55, 59, 64].map((midi) => ({ midi })),
    );
    const sounding = s.phrase.voices[0].events[0]!.notes.map((n) =>
      n.kind === 'pitched' ? [n.string, midiOf(n.pitch)] : [],
    );
    expect(sounding.map(([string]) => string)).toEqual([1, 2, 3, 4, 5, 6]);
    expect(sounding.map(([, midi]) => midi).sort()).toEqual([40, 45, 50, 55, 59, 64]);
  });

  it('refuses what is below the lowest string, above the neck, and two notes for one string', () => {
    const why = (...midi: number[]) =>
      refusal(
        start,
        'write.struck',
        midi.map((m) => ({ midi: m })),
      );
    expect(why(39)).toBe('the instrument has no free string for Eb2');
    // String 1 ends at fret 22: D6, MIDI 86.
    expect(why(86)).toBeNull();
    expect(why(87)).toBe('the instrument has no free string for Eb6');
    expect(why(40, 41)).toBe('the instrument has no free string for F2');
    expect(why()).toBe('nothing was struck');
    expect(refusal(start, 'write.struck', [{ midi: 60.5 }])).toBe(
      'what was given is of another kind',
    );
  });
});

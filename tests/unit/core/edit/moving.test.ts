import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import type { Phrase, PitchedNote } from '../../../../src/core/phrase/types';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { arbPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';

type Id = 'move.semitone' | 'move.octave' | 'move.degree';

function ask(s: EditState, id: Id, value: number) {
  return runCommand(s, commandOf(id)!, value);
}

function run(s: EditState, id: Id, ...values: number[]): EditState {
  return values.reduce((state, value) => {
    const outcome = ask(state, id, value);
    if (outcome.kind !== 'done') throw new Error(outcome.because);
    expect(checkPhrase(outcome.state.phrase)).toEqual([]);
    return outcome.state;
  }, s);
}

/** A phrase with a block of moments chosen, by their places in the first voice. */
function choose(p: Phrase, a: number, b: number): EditState {
  const { events } = p.voices[0];
  const s = startEditing(p);
  const at = (i: number, string: number) => ({ onset: events[i]!.onset, string });
  const corner = at(Math.min(a, b), 1);
  const cursor = at(Math.max(a, b), p.instrument.tuning.length);
  return { ...s, selection: { ...s.selection, corner, cursor } };
}

const noteOf = (s: EditState) => s.phrase.voices[0].events[0]!.notes[0] as PitchedNote;
const nameOf = (s: EditState) => formatPitch(noteOf(s).pitch);
const targetOf = (s: EditState) => {
  const { bend } = noteOf(s);
  return bend === undefined || bend.shape === 'curl' ? null : formatPitch(bend.target);
};
const gracesOf = (s: EditState) =>
  s.phrase.voices[0].events[0]!.graces?.map((g) =>
    g.notes.map((n) => `${n.string}/${n.fret} ${formatPitch(n.pitch)}`).join(' '),
  );

describe('a semitone there and back', () => {
  it('keeps the name a note had, where the chord would call it otherwise', () => {
    const s = startEditing(build('w 3/1=G#', { chords: 'C7' }));
    expect(nameOf(run(s, 'move.semitone', 1))).toBe('A3');
    expect(nameOf(run(s, 'move.semitone', 1, -1))).toBe('G#3');
    expect(nameOf(run(s, 'move.semitone', 1, 1, 1, -1, -1, -1))).toBe('G#3');
    // Without a name from before the chord decides: G sharp is no usual name over F minor.
    const f = startEditing(build('w 3/2', { chords: 'Fm7' }));
    expect(nameOf(run(f, 'move.semitone', -1))).toBe('Ab3');
  });

  it('takes the graces of the note along, and not those of another string', () => {
    const s = startEditing(build('w 2/8+3/7@g:2/7&3/6;3/5', { chords: 'C7' }));
    const own = { ...s, selection: { ...s.selection, cursor: { onset: 0, string: 3 } } };
    expect(gracesOf(run(own, 'move.semitone', 1))).toEqual(['2/7 Gb4 3/7 D4', '3/6 Db4']);
    expect(gracesOf(run(own, 'move.octave', 12))).toEqual(['2/7 Gb4 3/18 Db5', '3/17 C5']);
    expect(gracesOf(run(own, 'move.semitone', 1, -1))).toEqual(gracesOf(own));
  });

  it('is refused where a grace has no fret', () => {
    const s = startEditing(build('w 3/1@g:3/0', { chords: 'C7' }));
    expect(ask(s, 'move.semitone', -1)).toEqual({
      kind: 'not applicable',
      because: 'string 3 has no fret -1 for the grace note',
    });
  });

  it.each<[Id, number]>([
    ['move.semitone', 1],
    ['move.semitone', -1],
    ['move.octave', 12],
    ['move.octave', -12],
  ])('%s %i and back gives the phrase back', (id, by) => {
    let both = 0;
    fc.assert(
      fc.property(arbPhrase(), fc.nat(), fc.nat(), (p, a, b) => {
        const { length } = p.voices[0].events;
        if (length === 0) return;
        const s = choose(p, a % length, b % Math.min(length, 3));
        const there = ask(s, id, by);
        // What gave way on the way is named, and is not brought back.
        if (there.kind !== 'done' || there.say.includes('taken off')) return;
        const back = ask(there.state, id, -by);
        if (back.kind !== 'done') throw new Error(back.because);
        both++;
        expect(back.state.phrase).toEqual(p);
      }),
      { numRuns: 400, seed: 11 },
    );
    expect(both).toBeGreaterThan(40);
  });
});

describe('to the next scale note (M4)', () => {
  it('takes a bend along the scale, so that it spans as many steps', () => {
    // The scale at home over C7 (common practice): C D E F G A Bb.
    const s = startEditing(build('w 3/7(bend:E4)', { chords: 'C7' }));
    const up = ask(s, 'move.degree', 1);
    expect(up.kind === 'done' && [nameOf(up.state), targetOf(up.state), up.say]).toEqual([
      ...['E4', 'F4', 'the next scale note above; its bend along the scale too'],
    ]);
    expect(targetOf(run(s, 'move.degree', 1, -1))).toBe('E4');
  });

  it('keeps the width of a bend to or from no scale note, and says so', () => {
    const s = startEditing(build('w 3/7(bend:D#4)', { chords: 'C7' }));
    const up = ask(s, 'move.degree', 1);
    expect(up.kind === 'done' && [nameOf(up.state), targetOf(up.state), up.say]).toEqual([
      ...['E4', 'F4', 'the next scale note above; its bend as wide as before'],
    ]);
    const off = startEditing(build('w 3/6(bend:D4)', { chords: 'C7' }));
    expect(targetOf(run(off, 'move.degree', 1))).toBe('Eb4');
  });

  it('keeps the width of a bend that would be too wide for the string', () => {
    // C Db E F over C7b9: string 5 takes two semitones, and Db to E would be three.
    const s = startEditing(build('w 5/3(bend:Db3)', { chords: 'C7b9' }));
    const up = ask(s, 'move.degree', 1);
    expect(up.kind === 'done' && [nameOf(up.state), targetOf(up.state), up.say]).toEqual([
      ...['Db3', 'D3', 'the next scale note above; its bend as wide as before'],
    ]);
    const high = startEditing(build('w 3/5(bend:Db4)', { chords: 'C7b9' }));
    expect(targetOf(run(high, 'move.degree', 1))).toBe('E4');
  });

  it('takes graces along the scale where they are in it, else at their distance', () => {
    const s = startEditing(build('w 3/7@g:3/5;3/6', { chords: 'C7' }));
    expect(gracesOf(run(s, 'move.degree', 1))).toEqual(['3/7 D4', '3/8 Eb4']);
  });
});

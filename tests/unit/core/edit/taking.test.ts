import { describe, expect, it } from 'vitest';
import { copyOf } from '../../../../src/core/edit/clip';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, FIRST_PEN, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import type { Phrase } from '../../../../src/core/phrase/types';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';

const QUARTER = 10_080;
const DROP_D = { ...build('w -').instrument.tuning[5]!, letter: 'D' } as const;

function paste(s: EditState, clip: Phrase) {
  return runCommand(s, commandOf('take.paste')!, clip);
}

function run(s: EditState, clip: Phrase): { state: EditState; say: string } {
  const outcome = paste(s, clip);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  expect(checkPhrase(outcome.state.phrase)).toEqual([]);
  return outcome;
}

function at(p: Phrase, quarter: number, flow: 'over' | 'push' = 'over'): EditState {
  const s = startEditing(p, { ...FIRST_PEN, flow });
  const cursor = { onset: quarter * QUARTER, string: 3 };
  return { ...s, selection: { ...s.selection, cursor } };
}

const events = (s: EditState, voice = 0) => s.phrase.voices[voice]?.events ?? [];
const onsets = (s: EditState, voice: 0 | 1) => events(s, voice).map((e) => e.onset / QUARTER);

describe('what is copied', () => {
  const copied = (p: Phrase, onset: number) => {
    const s = at(p, onset);
    return copyOf({ ...s, selection: { ...s.selection, corner: null } }, 'copy', p.meta.created)!;
  };

  it.each([
    ['a hammer-on without the note before', 'h 3/5 3/7(h,vib)', 2],
    ['one note of a strum', 'h 3/5+2/5@sdown -', 0],
    ['one note of a double stop with its grace', 'h 3/7(h)+2/8(h)@g:3/5&2/6 -', 0],
  ])('is a phrase of its own that can be put in: %s', (_, line, onset) => {
    const clip = copied(build(line), onset);
    expect(checkPhrase(clip)).toEqual([]);
    expect(run(at(build('w 3/2 | w -'), 4), clip).say).toBe('a note put in');
  });

  it('keeps what does not need the others', () => {
    const [note] = copied(build('h 3/5 3/7(h,vib)'), 2).voices[0].events[0]!.notes;
    expect(note).toMatchObject({ fret: 7, vibrato: expect.anything() });
    expect(note).not.toHaveProperty('attack');
    const [graced] = copied(build('h 3/7(h)+2/8(h)@g:3/5&2/6 -'), 0).voices[0].events;
    expect(graced!.graces!.map((g) => g.notes.map((n) => n.fret))).toEqual([[5]]);
    expect(graced!.notes[0]).toMatchObject({ attack: 'hammer-on' });
  });
});

describe('a clip from another tuning', () => {
  const { tuning } = build('w -').instrument;
  const dropD = { instrument: { tuning: [...tuning.slice(0, 5), DROP_D] } };

  it('brings its graces along the note', () => {
    const clip = build('q 6/7@g:6/5;6/6 5/0 - -', dropD);
    const { state, say } = run(at(build('w -'), 0), clip);
    const [event] = events(state);
    expect(event!.notes[0]).toMatchObject({ string: 6, fret: 5 });
    expect(event!.graces!.map((g) => [g.notes[0].fret, formatPitch(g.notes[0].pitch)])).toEqual([
      [3, 'G2'],
      [4, 'Ab2'],
    ]);
    expect(say).toBe('2 notes put in, 1 of them on another fret or string');
  });

  it('finds another string for a note with its graces, hammered on and off', () => {
    const standard = build('q 4/0@g:4/1 4/2(h) 4/0(p) -');
    const { state } = run(at(build('w -', { instrument: { capo: 2 } }), 0), standard);
    const strings = events(state).flatMap((e) => e.notes.map((n) => n.string));
    expect(strings).toEqual([5, 5, 5]);
    expect(events(state).map((e) => e.notes[0].fret)).toEqual([3, 5, 3]);
    expect(events(state)[0]!.graces![0].notes[0]).toMatchObject({ string: 5, fret: 4 });
    expect(events(state)[1]!.notes[0]).toMatchObject({ attack: 'hammer-on' });
  });

  it('is refused where a note would be out of reach', () => {
    expect(paste(at(build('w -'), 0), build('q 6/0 6/1 6/2 -', dropD))).toEqual({
      kind: 'not applicable',
      because: '2 notes would be out of reach: D2, Eb2',
    });
  });
});

describe('a clip that pushes what comes later', () => {
  const clip = build('q 3/5 3/7 - -');
  const both = { second: 'q - 6/0 6/3 -', chords: 'C7' };

  it('moves both voices', () => {
    const { state } = run(at(build('q 1/5 1/8 1/5 -', both), 1, 'push'), clip);
    expect(onsets(state, 0)).toEqual([0, 1, 2, 3, 4]);
    expect(onsets(state, 1)).toEqual([3, 4]);
  });

  it('is refused where the other voice would be cut', () => {
    const held = { second: 'h 6/0 q 6/3 -', chords: 'C7' };
    expect(paste(at(build('q 1/5 1/8 1/5 -', held), 1, 'push'), clip)).toEqual({
      kind: 'not applicable',
      because: 'the other voice holds a note over this place',
    });
    const triplet = { second: 'q3 6/0 - - h -', chords: 'C7' };
    expect(paste(at(build('q 1/5 1/8 1/5 -', triplet), 1, 'push'), clip)).toMatchObject({
      because: 'the other voice has a tuplet over this place',
    });
  });

  it('leaves the other voice where it takes the place of what is there', () => {
    const { state, say } = run(at(build('q 1/5 1/8 1/5 -', both), 1), clip);
    expect(onsets(state, 1)).toEqual([1, 2]);
    expect(say).toBe('2 notes put in');
  });

  it('says that a held note ends only in the voice it is put in', () => {
    const held = { second: 'h 6/0 q 6/3 -', chords: 'C7' };
    expect(run(at(build('q 1/5 1/8 1/5 -', held), 1), clip).say).toBe('2 notes put in');
  });
});

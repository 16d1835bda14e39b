import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import { checkPhrase } from '../../../../src/core/phrase/invariants';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { arbPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';

function ask(p: Phrase, id: string, value: unknown) {
  return runCommand(startEditing(p), commandOf(id)!, value);
}

function run(p: Phrase, id: string, value: unknown): { phrase: Phrase; say: string } {
  const outcome = ask(p, id, value);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  expect(checkPhrase(outcome.state.phrase)).toEqual([]);
  return { phrase: outcome.state.phrase, say: outcome.say };
}

const places = (p: Phrase) => notesOf(p).map(({ note }) => `${note.string}/${note.fret}`);

/** What is heard: pitches by note, and those of graces. */
const sounds = (p: Phrase) =>
  p.voices.map((v) =>
    v.events.map((e) => [
      new Map(e.notes.map((n) => [n.id, n.kind === 'dead' ? null : n.pitch])),
      (e.graces ?? []).map((g) => g.notes.map((n) => n.pitch)),
    ]),
  );

describe('another tuning or a capo with the pitches kept', () => {
  it('keeps notes on their strings where they can be', () => {
    const { phrase, say } = run(build('q 6/3 6/5 5/3 4/2'), 'neck.capo-pitches', 2);
    expect(places(phrase)).toEqual(['6/1', '6/3', '5/1', '4/0']);
    expect(say).toBe('capo at fret 2');
  });

  it('looks for another string, and says how many notes changed theirs', () => {
    // Open D, G and B strings under a capo at 2 are the fifth frets below it, less two.
    const { phrase, say } = run(build('q 4/0 3/0 2/3 1/3'), 'neck.capo-pitches', 2);
    expect(places(phrase)).toEqual(['5/3', '4/3', '2/1', '1/1']);
    expect(say).toBe('capo at fret 2; 2 notes are on other strings');
  });

  it('takes graces and what is hammered on along', () => {
    const p = build('q 4/1 4/3(h) 3/1@g:3/0;3/3 q -');
    const hammered = build('q 4/0 4/2(h) 3/2(h)@g:3/0 q -');
    const { phrase } = run(hammered, 'neck.capo-pitches', 1);
    expect(places(phrase)).toEqual(['5/4', '5/6', '4/6']);
    expect(phrase.voices[0].events[2]!.graces![0].notes[0]).toMatchObject({ string: 4, fret: 4 });
    expect(phrase.voices[0].events[2]!.notes[0]).toMatchObject({ attack: 'hammer-on' });
    expect(sounds(run(p, 'neck.tune-pitches', 'wholeDown').phrase)).toEqual(sounds(p));
  });

  it('keeps plucked graces on the string of their note', () => {
    const p = build('q 3/0@g:3/1;3/3 - - -');
    const { phrase } = run(p, 'neck.capo-pitches', 1);
    const [event] = phrase.voices[0].events;
    const { string } = event!.notes[0];
    expect(string).not.toBe(3);
    expect(event!.graces!.map((g) => g.notes[0].string)).toEqual([string, string]);
  });

  it('is refused where notes would be out of reach, with how many', () => {
    expect(ask(build('q 6/0 6/1 5/3 -'), 'neck.capo-pitches', 3)).toEqual({
      kind: 'not applicable',
      because: '2 notes would be out of reach: E2, F2',
    });
    expect(ask(build('q 6/0 6/5 - -'), 'neck.capo-pitches', 3)).toMatchObject({
      because: 'a note would be out of reach: E2',
    });
    expect(ask(build('q 4/0(pin) - - -'), 'neck.capo-pitches', 3)).toMatchObject({
      because: 'D3 is kept on string 4, which would not have it',
    });
  });

  it('changes no sound and no name of any phrase', () => {
    let changed = 0;
    fc.assert(
      fc.property(
        arbPhrase(),
        fc.constantFrom<[string, unknown]>(
          ['neck.capo-pitches', 1],
          ['neck.capo-pitches', 0],
          ['neck.capo-pitches', 4],
          ['neck.tune-pitches', 'openG'],
          ['neck.tune-pitches', 'dadgad'],
          ['neck.tune-pitches', 'wholeDown'],
        ),
        (p, [id, value]) => {
          const outcome = ask(p, id, value);
          if (outcome.kind !== 'done') return;
          changed++;
          expect(sounds(outcome.state.phrase)).toEqual(sounds(p));
          const { say } = outcome;
          const strings = new Map(notesOf(p).map(({ note }) => [note.id, note.string]));
          const moved = notesOf(outcome.state.phrase).filter(
            ({ note }) => strings.get(note.id) !== note.string,
          ).length;
          const told = moved === 1 ? 'a note is' : `${moved} notes are`;
          expect(say.includes('other string')).toBe(moved > 0);
          if (moved > 0) expect(say).toContain(told);
        },
      ),
      { numRuns: 300, seed: 13 },
    );
    expect(changed).toBeGreaterThan(50);
  });
});

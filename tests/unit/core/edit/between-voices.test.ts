import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import type { Phrase } from '../../../../src/core/phrase/types';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';
import { emptyPhrase, press } from '../../../support/edit';

const QUARTER = 10_080;

function ask(s: EditState) {
  return runCommand(s, commandOf('bar.to-voice')!);
}

function run(s: EditState): EditState {
  const outcome = ask(s);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  expect(checkPhrase(outcome.state.phrase)).toEqual([]);
  return outcome.state;
}

/** Everything from one tick to another on some strings chosen, in the first voice. */
function choose(p: Phrase, from: number, to: number, top = 1, bottom = 6): EditState {
  const s = startEditing(p);
  const corner = { onset: from, string: top };
  return { ...s, selection: { ...s.selection, corner, cursor: { onset: to, string: bottom } } };
}

/** `onset in quarters: string/fret` of a voice. */
const places = (s: EditState, voice: 0 | 1) =>
  (s.phrase.voices[voice]?.events ?? []).map(
    (e) => `${e.onset / QUARTER}: ${e.notes.map((n) => `${n.string}/${n.fret}`).join(' ')}`,
  );

describe('what is chosen in the other voice', () => {
  const stops = build('q 1/5+4/7 1/8+4/7 1/5 4/5', { chords: 'A7' });

  it('is only what is on the chosen strings', () => {
    const s = run(choose(stops, 0, 3 * QUARTER, 4, 6));
    expect(places(s, 0)).toEqual(['0: 1/5', '1: 1/8', '2: 1/5']);
    expect(places(s, 1)).toEqual(['0: 4/7', '1: 4/7', '3: 4/5']);
    expect(s.selection.voice).toBe(1);
  });

  it('is what was just written, even where the cursor has gone on', () => {
    const written = press(startEditing(emptyPhrase()), 'f', '5', '3');
    const s = run(written);
    expect(written.selection.cursor.onset).not.toBe(5_040);
    expect(places(s, 0)).toEqual(places(written, 0).slice(0, 1));
    expect(places(s, 1)).toEqual(places(written, 0).slice(1));
    expect(places(run(s), 0)).toEqual(places(written, 0));
  });

  it('is refused where something stands there already', () => {
    const over = build('q 1/5 1/8 1/5 -', { second: 'q - h 5/0 q -', chords: 'A7' });
    expect(ask(choose(over, 0, 2 * QUARTER))).toEqual({
      kind: 'not applicable',
      because: 'the other voice has notes there',
    });
    expect(places(run(choose(over, 0, 0)), 1)).toEqual(['0: 1/5', '1: 5/0']);
  });

  it('takes its graces along and leaves the others', () => {
    const graced = build('h 2/8+3/7@g:2/7&3/6;2/6 h -', { chords: 'A7' });
    const s = run(choose(graced, 0, 0, 3, 3));
    const graces = s.phrase.voices.map((v) =>
      v.events[0]!.graces?.map((g) => g.notes.map((n) => `${n.string}/${n.fret}`).join(' ')),
    );
    expect(graces).toEqual([['2/7', '2/6'], ['3/6']]);
  });

  it('stays in its tuplet, and what stays in the voice keeps its own', () => {
    const triplet = build('e3 1/5+4/7 1/8 1/5 q - - -', { chords: 'A7' });
    const s = run(choose(triplet, 0, 3 * QUARTER, 4, 4));
    expect(s.phrase.voices[0].tuplets).toEqual(triplet.voices[0].tuplets);
    expect(s.phrase.voices[1]!.tuplets).toEqual(triplet.voices[0].tuplets);
    const all = run(choose(triplet, 0, 3 * QUARTER));
    expect(all.phrase.voices[0].tuplets).toEqual([]);
    expect(all.phrase.voices[1]!.tuplets).toEqual(triplet.voices[0].tuplets);
  });

  it('is refused where the other voice counts other values', () => {
    const both = build('e3 1/5 1/8 1/5 q - - -', {
      second: 's5 5/0 5/0 - - - q - - -',
      chords: 'A7',
    });
    const s = choose(both, 6_720, 6_720);
    expect(ask(s)).toEqual({
      kind: 'not applicable',
      because: 'the other voice is divided otherwise there',
    });
  });
});

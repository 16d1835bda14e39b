import { describe, expect, it } from 'vitest';
import { copyOf } from '../../../../src/core/edit/clip';
import { goTo } from '../../../../src/core/edit/commands/go';
import { paste, pasteOverChord } from '../../../../src/core/edit/commands/putting';
import { chooseAll } from '../../../../src/core/edit/commands/taking';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import type { Phrase } from '../../../../src/core/phrase/types';
import { formatDegree } from '../../../../src/core/theory/degree';
import { analyse } from '../../../../src/core/understand/analyse';
import { build } from '../../../support/build';
import { emptyPhrase } from '../../../support/edit';
import { quick } from '../../../support/moves';
import { readSamples } from '../../../support/samples';

function done(s: EditState, command: typeof paste, clip: Phrase): EditState {
  const outcome = runCommand(s, command, clip);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  return outcome.state;
}

const at = (p: Phrase, onset: number): EditState => {
  const outcome = runCommand(startEditing(p), goTo, { onset, string: 3 });
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  return outcome.state;
};

/** What each note is over its chord, in the order of the notes. */
const degrees = (p: Phrase) =>
  analyse(p).readings.map((r) => (r.heard.chordDegree ? formatDegree(r.heard.chordDegree) : '-'));

describe('a phrase put in on an empty page', () => {
  it('comes whole, and the page keeps its name', () => {
    for (const { phrase } of readSamples()) {
      const blank = emptyPhrase();
      const { phrase: now } = done(startEditing(blank), paste, phrase);
      const { id, parent, meta } = blank;
      expect(now).toEqual({ ...phrase, id, parent, meta });
    }
  });

  it('and what comes with it is told', () => {
    const say = (clip: Phrase) => {
      const outcome = runCommand(startEditing(emptyPhrase()), paste, clip);
      return outcome.kind === 'done' ? outcome.say : outcome.because;
    };
    expect(say(build('q 3/5 3/7', { chords: 'A7' }))).toBe(
      '2 notes put in with chords, key and metre',
    );
    const pickup = build('q 3/5 | w 3/7', { pickup: 10_080 });
    expect(say(pickup)).toBe('2 notes put in with key and metre');
  });

  it('comes note by note where something stands already, or where it has no chords', () => {
    const clip = build('q 3/5 3/7', { key: 'A', chords: 'A7' });
    const chosen = emptyPhrase({ key: { tonic: { letter: 'G', alter: 0 }, mode: 'major' } });
    const begun = done(startEditing(chosen), paste, build('q 2/5', {}));
    expect(begun.phrase.key).toEqual(chosen.key);
    const more = done(begun, paste, clip).phrase;
    expect([more.key, more.chords]).toEqual([chosen.key, []]);
    expect(more.voices[0].events.map((e) => e.notes[0].fret)).toEqual([5, 5, 7]);
  });
});

describe('the hand', () => {
  it('lies where the last of what was put in is played', () => {
    const high = build('q 2/15 2/17', { key: 'E', chords: 'E7' });
    const s = done(startEditing(emptyPhrase()), paste, high);
    expect(s.pen.hand).toBe(14);
    expect(done(s, paste, build('q 3/2 3/4', {})).pen.hand).toBe(4);
  });
});

describe('put in over the chord at the cursor', () => {
  const line = 'e 3/5 3/7 2/5 2/8 q 1/5 2/8';
  const source = build(line, { key: 'A', chords: 'A7' });
  const form = build('w - | w -', { key: 'A', chords: 'A7 | D7' });

  it('each note is over IV what it was over I', () => {
    const { phrase } = done(at(form, 40_320), pasteOverChord, source);
    expect(degrees(phrase)).toEqual(degrees(source));
    // A fourth up, by the intervals of the chords' roots (common practice).
    expect(phrase.voices[0].events[0]!.onset).toBe(40_320);
  });

  it('over its own chord nothing changes', () => {
    const { phrase } = done(at(form, 0), pasteOverChord, source);
    expect(phrase.voices[0].events.map((e) => e.notes.map((n) => [n.string, n.fret]))).toEqual(
      source.voices[0].events.map((e) => e.notes.map((n) => [n.string, n.fret])),
    );
  });

  it('says that fingers are left behind where the shape is another one', () => {
    const minor = build('w - | w -', { key: 'A', chords: 'A7 | Dm7' });
    const fingered = quick('[A] {A7} q 3:6;2 2:5;1 r r');
    const outcome = runCommand(at(minor, 40_320), pasteOverChord, fingered);
    expect(outcome).toMatchObject({ say: expect.stringMatching(/without its fingers$/u) });
    const alike = runCommand(at(form, 40_320), pasteOverChord, fingered);
    expect(alike).toMatchObject({ say: expect.not.stringMatching(/fingers/u) });
  });

  it('says why it cannot', () => {
    const none = runCommand(at(build('w -', {}), 0), pasteOverChord, source);
    expect(none).toEqual({ kind: 'not applicable', because: 'no chord stands at the cursor' });
    const silent = runCommand(at(form, 0), pasteOverChord, form);
    expect(silent).toEqual({ kind: 'not applicable', because: 'there is no note in it' });
  });

  it('takes what was copied in the same phrase', () => {
    const here = runCommand(startEditing(source), chooseAll, 'all');
    if (here.kind !== 'done') throw new Error(here.because);
    const clip = copyOf(here.state, 'copy', '2026-11-26T12:00:00Z')!;
    const { phrase } = done(at(form, 40_320), pasteOverChord, clip);
    expect(degrees(phrase)).toEqual(degrees(source));
  });
});

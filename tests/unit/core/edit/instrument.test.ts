import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { midiOf } from '../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
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
      because: 'string 4 would not have D3, which is kept on it',
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

describe('another instrument', () => {
  it.each([
    // Open strings as they are taught, first string first, by MIDI number (common practice).
    ['guitar7', [64, 59, 55, 50, 45, 40, 35], 'treble-8'],
    ['bass4', [43, 38, 33, 28], 'bass-8'],
    ['bass5', [43, 38, 33, 28, 23], 'bass-8'],
    ['ukulele', [69, 64, 60, 67], 'treble'],
  ])('%s has its strings and its clef', (kind, open, clef) => {
    const { phrase } = run(build('w -', { instrument: { capo: 2 } }), 'neck.instrument', kind);
    expect(phrase.instrument.tuning.map(midiOf)).toEqual(open);
    expect(phrase.instrument).toMatchObject({ clef, capo: 0 });
    expect(ask(phrase, 'neck.instrument', kind).kind).toBe('not applicable');
  });

  it('keeps the pitches and looks for their places', () => {
    const p = build('q 6/3 5/2 5/5 4/0');
    const { phrase, say } = run(p, 'neck.instrument', 'bass4');
    expect(sounds(phrase)).toEqual(sounds(p));
    expect(notesOf(phrase).every(({ note }) => note.string <= 4)).toBe(true);
    expect(say).toMatch(/^on a bass with four strings; 4 notes are on other strings$/u);
    const seven = run(p, 'neck.instrument', 'guitar7');
    expect([places(seven.phrase), seven.say]).toEqual([
      places(p),
      'on a guitar with seven strings',
    ]);
  });

  it('is refused where it does not have the notes', () => {
    expect(ask(build('q 6/0 2/5 1/0 -'), 'neck.instrument', 'ukulele')).toMatchObject({
      because: 'a note would be out of reach: E2',
    });
    expect(ask(build('q 6/x0 - - -'), 'neck.instrument', 'bass4')).toMatchObject({
      because: 'a dead note is on string 6, which is not there',
    });
  });

  it('is left in other strings by the same pitches, for any phrase', () => {
    let done = 0;
    fc.assert(
      fc.property(
        arbPhrase(),
        fc.constantFrom('guitar', 'guitar7', 'bass4', 'bass5'),
        (p, kind) => {
          const outcome = ask(p, 'neck.instrument', kind);
          if (outcome.kind !== 'done') return;
          done++;
          const { phrase } = outcome.state;
          expect(checkPhrase(phrase)).toEqual([]);
          expect(sounds(phrase)).toEqual(sounds(p));
        },
      ),
      { numRuns: 150, seed: 14 },
    );
    expect(done).toBeGreaterThan(30);
  });
});

describe('a tuning by its notes', () => {
  const p = build('q 6/3 5/2 4/0 -');

  it('may have more or fewer strings, from 1 to 12', () => {
    const eight = 'E4 B3 G3 D3 A2 E2 B1 F#1';
    const { phrase } = run(p, 'neck.tune-to', eight);
    expect(phrase.instrument.tuning.map(midiOf)).toEqual([64, 59, 55, 50, 45, 40, 35, 30]);
    expect(places(phrase)).toEqual(places(p));
    const four = run(p, 'neck.tune-to', 'G2 D2 A1 E1');
    expect(sounds(four.phrase)).toEqual(sounds(p));
    expect(ask(p, 'neck.tune-to', Array(13).fill('E2').join(' '))).toMatchObject({
      because: 'an instrument has 12 strings at most',
    });
  });

  it('is not taken from the list where the instrument has another number of strings', () => {
    const bass = run(p, 'neck.instrument', 'bass4').phrase;
    expect(ask(bass, 'neck.tune-pitches', 'openG')).toMatchObject({
      because: 'the instrument has 4 strings, and these are 6',
    });
  });
});

describe('scale length, clef and name', () => {
  const p = build('w 3/5');
  it.each([
    ['neck.scale', 864, { scaleLength: 864 }, 'they are so long already'],
    [
      'neck.clef',
      'bass-8',
      { clef: 'bass-8' },
      'it is written in the bass clef, sounding an octave lower already',
    ],
    ['neck.name', ' Baritone ', { name: 'Baritone' }, 'it is called so already'],
  ])('%s changes that alone', (id, value, part, already) => {
    const { phrase } = run(p, id, value);
    expect(phrase).toEqual({ ...p, instrument: { ...p.instrument, ...part } });
    expect(ask(phrase, id, value)).toMatchObject({ because: already });
  });

  it('have their bounds', () => {
    expect(ask(p, 'neck.scale', 99)).toMatchObject({
      because: 'the scale length must be a whole number from 100 to 2000 mm',
    });
    expect(ask(p, 'neck.name', ' ')).toMatchObject({ because: 'a name has a letter at least' });
    expect(ask(p, 'neck.name', 'x'.repeat(201))).toMatchObject({
      because: 'a name is 200 letters at most',
    });
    expect(ask(p, 'neck.name', 'a\u0007')).toMatchObject({
      because: 'the text must be one line without control characters',
    });
  });
});

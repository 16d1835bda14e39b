import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { consequencesOf } from '../../../../src/core/edit/consequences';
import { runCommand } from '../../../../src/core/edit/run';
import { startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import type { Phrase } from '../../../../src/core/phrase/types';
import { mapNotes, notesOf } from '../../../../src/core/phrase/walk';
import { seededPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';
import { readSamples } from '../../../support/samples';

function edited(p: Phrase, id: string, value: unknown): Phrase {
  const outcome = runCommand(startEditing(p), commandOf(id)!, value);
  if (outcome.kind !== 'done') throw new Error(`${id}: ${outcome.because}`);
  return outcome.state.phrase;
}

const of = (p: Phrase, id: string, value: unknown) => consequencesOf(p, edited(p, id, value));
const ids = (p: Phrase, ...indexes: number[]) => indexes.map((i) => notesOf(p)[i]!.note.id);
const NONE = {
  bars: null,
  tempo: null,
  key: null,
  chords: 0,
  seconds: null,
  tied: [],
  untied: [],
  swung: [],
  sounding: [],
  by: null,
  respelled: [],
  refretted: [],
  restrung: [],
  degrees: [],
  keyDegrees: [],
  unplayable: [],
  lost: [],
  changed: new Set(),
};

describe('what follows from an edit of the whole phrase', () => {
  const line = build('q 3/5 3/7 2/5 2/8 | q 2/5 3/7 h 3/5', { key: 'C', chords: 'C | F' });

  it('is nothing where nothing changes', () => {
    fc.assert(
      fc.property(fc.nat(5_000), (seed) => {
        const p = seededPhrase(seed);
        expect(consequencesOf(p, p)).toEqual(NONE);
      }),
      { numRuns: 60 },
    );
  });

  it('another metre: bars, and the notes that hold over its bar lines', () => {
    // Seven quarters' onsets 0 to 5 and a half at 6: bar lines at 3 and 6 cut no note, at 9 nothing.
    expect(of(line, 'bar.meter', '3/4')).toMatchObject({
      bars: { before: 2, after: 3 },
      tied: [],
      sounding: [],
    });
    // In 5/4 the bar line at 5 falls between notes; the half at 6 ends at 8.
    expect(of(line, 'bar.meter', '5/4')).toMatchObject({ bars: null, tied: [] });
    // in 7/8 the lines at 3.5 and 7 cut the fourth note and the half.
    expect(of(line, 'bar.meter', '7/8').tied).toEqual(ids(line, 3, 6));
    const over = build('h 3/5 q 3/7 h 2/5', { meter: '5/4' });
    expect(of(over, 'bar.meter', '4/4').tied).toEqual(ids(over, 2));
    const back = edited(over, 'bar.meter', '4/4');
    expect(of(back, 'bar.meter', '5/4').untied).toEqual(ids(over, 2));
  });

  it('another tempo: seconds, by arithmetic: eight quarters at 60 a minute last 8 s', () => {
    const slow = edited(line, 'key.tempo', 60);
    expect(consequencesOf(slow, edited(slow, 'key.tempo', 120))).toEqual({
      ...NONE,
      seconds: { before: 8, after: 4 },
    });
    expect(of(slow, 'key.tempo-unit', 'dotted-quarter').seconds?.after).toBeCloseTo(16 / 3);
  });

  it('another feel: the second note of each pair and no other (MusicXML 4.0, swing)', () => {
    const eighths = build('e 3/5 3/7 2/5 2/8 q 2/5 e 3/7 3/5', {});
    expect(of(eighths, 'key.feel', 'shuffle').swung).toEqual(ids(eighths, 1, 3, 6));
    expect(of(eighths, 'key.feel', 'sixteenths').swung).toEqual([]);
  });

  it('half a step down with the frets kept sounds a semitone lower (common practice)', () => {
    const c = of(line, 'neck.tune-frets', 'halfDown');
    expect(c).toMatchObject({ by: -1, refretted: [], restrung: [] });
    expect(c.sounding).toEqual(ids(line, 0, 1, 2, 3, 4, 5, 6));
    expect(c.degrees).toEqual(c.sounding);
  });

  it('a capo with the pitches kept: nothing sounds otherwise, every fretted note lies elsewhere', () => {
    const c = of(line, 'neck.capo-pitches', 2);
    expect(c).toMatchObject({ sounding: [], degrees: [], restrung: [] });
    expect(c.refretted.length).toBe(7);
  });

  it('a shorter neck takes off a trill that it has no fret for', () => {
    const high = build('w 1/12(tr:G5)', { instrument: { frets: 20 } });
    expect(of(high, 'neck.frets', 12).lost).toEqual(['trill']);
    expect(of(high, 'neck.frets', 15).lost).toEqual([]);
  });

  it('a bend, a trill or a grace that alone becomes another is told', () => {
    const p = build('q 3/5(bend:D4) 3/7@g:3/5 2/5', { key: 'C', chords: 'C' });
    const first = notesOf(p)[0]!.note.id;
    const wider = mapNotes(p, ({ note }) =>
      note.id === first && note.kind === 'pitched' && note.bend?.shape === 'bend'
        ? { ...note, bend: { ...note.bend, target: { letter: 'E', alter: -1, octave: 4 } } }
        : note,
    );
    expect(consequencesOf(p, wider)).toMatchObject({ sounding: [first], by: null, refretted: [] });
    const [voice] = p.voices;
    const bare = voice.events.map(({ graces: _, ...e }) => e);
    const without = { ...p, voices: [{ ...voice, events: bare }] } as Phrase;
    expect(consequencesOf(p, without)).toMatchObject({
      sounding: ids(p, 1),
      by: null,
      refretted: ids(p, 1),
    });
  });

  it('another name of the key: what each note is in the key, not what it is over its chord', () => {
    const c = of(line, 'key.rename', 'G');
    expect(c).toMatchObject({ sounding: [], degrees: [] });
    expect(c.keyDegrees.length).toBe(7);
  });

  it('moved to another key every sample keeps what its notes are, over chord and in key', () => {
    for (const { phrase } of readSamples()) {
      const key =
        phrase.key.mode === 'minor' ? 'Dm' : phrase.key.mode === 'blues' ? 'D blues' : 'D';
      const outcome = runCommand(startEditing(phrase), commandOf('key.move')!, key);
      if (outcome.kind !== 'done') {
        expect(outcome.because).toBe('it is in this key already');
        continue;
      }
      const c = consequencesOf(phrase, outcome.state.phrase);
      expect([phrase.meta.title, c.keyDegrees, c.degrees]).toEqual([phrase.meta.title, [], []]);
      expect(c.bars).toBeNull();
    }
  });
});

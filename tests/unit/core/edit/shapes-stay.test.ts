import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import { openMidi } from '../../../../src/core/phrase/instrument';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { chordOf } from '../../../../src/core/theory/chord';
import { formatDegree } from '../../../../src/core/theory/degree';
import { formatKey } from '../../../../src/core/theory/key';
import { chromaOf, formatPitch, midiOf, mod } from '../../../../src/core/theory/pitch';
import { analyse } from '../../../../src/core/understand/analyse';
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
const pitches = (p: Phrase) =>
  notesOf(p).map(({ note }) => (note.kind === 'dead' ? 'x' : formatPitch(note.pitch)));
const symbols = (p: Phrase) => p.chords.map((c) => c.symbol);

/** What every note is against its chord and against the key. */
const roles = (p: Phrase) =>
  analyse(p).readings.map((r) =>
    [r.heard.chordDegree, r.heard.keyDegree].map((d) => (d === null ? null : formatDegree(d))),
  );

describe('frets that stay while key and chords move along', () => {
  const p = build('q 3/2 3/4(bend:C#4) 4/2 2/3', {
    key: 'A blues',
    chords: 'A7 D7/F# |',
  });

  it('a capo: the page says what sounds', () => {
    const { phrase, say } = run(p, 'neck.capo-shapes', 2);
    expect(say).toBe('capo at fret 2, in B blues now');
    expect(places(phrase)).toEqual(places(p));
    expect(symbols(phrase)).toEqual(['B7', 'E7/G#']);
    expect(formatKey(phrase.key)).toBe('B blues');
    expect(pitches(phrase)).toEqual(['B3', 'C#4', 'F#3', 'E4']);
    expect(phrase.instrument.capo).toBe(2);
  });

  it('a chord whose bass is spelled from the other side moves along too', () => {
    const spelled = build('q 3/10', { key: 'C# blues', chords: 'Em9/Gb' });
    expect(symbols(run(spelled, 'neck.capo-shapes', 2).phrase)).toEqual(['Gbm9/Ab']);
  });

  it('a guitar tuned half a step down: A is A flat', () => {
    const { phrase, say } = run(p, 'neck.tune-shapes', 'halfDown');
    expect(say).toBe('tuned to E♭ A♭ D♭ G♭ B♭ E♭, in A♭ blues now');
    expect(symbols(phrase)).toEqual(['Ab7', 'Db7/F']);
    expect(places(phrase)).toEqual(places(p));
  });

  it('typed strings: an octave lower keeps the key', () => {
    const { phrase } = run(p, 'neck.tune-to-shapes', 'E3 B2 G2 D2 A1 E1');
    expect(symbols(phrase)).toEqual(symbols(p));
    expect(pitches(phrase)).toEqual(['A2', 'B2', 'E2', 'D3']);
  });

  it('typed strings with the frets kept: what sounds changes under the same chords', () => {
    const { phrase } = run(p, 'neck.tune-to-frets', 'D4 A3 F3 C3 G2 D2');
    expect(symbols(phrase)).toEqual(symbols(p));
    expect(places(phrase)).toEqual(places(p));
    expect(pitches(phrase)[0]).toBe('G3');
  });

  it('is refused where the strings do not go alike or are not as many', () => {
    expect(ask(p, 'neck.tune-shapes', 'dropD')).toMatchObject({
      because: 'the strings do not all move by the same step, so key and chords cannot go along',
    });
    expect(ask(p, 'neck.tune-to-shapes', 'G2 D2 A1 E1')).toMatchObject({
      because: 'the instrument has 6 strings, and these are 4',
    });
  });

  it('keeps what every note is, sounds by the same step, and comes back, for any phrase', () => {
    let tried = 0;
    fc.assert(
      fc.property(arbPhrase(), fc.integer({ min: 0, max: 7 }), (phrase, capo) => {
        const outcome = ask(phrase, 'neck.capo-shapes', capo);
        if (outcome.kind !== 'done') return;
        const there = outcome.state.phrase;
        tried++;
        const by = openMidi(there.instrument, 1) - openMidi(phrase.instrument, 1);
        const now = new Map(notesOf(there).map(({ note }) => [note.id, note]));
        for (const { note } of notesOf(phrase)) {
          const moved = now.get(note.id)!;
          expect([moved.string, moved.fret]).toEqual([note.string, note.fret]);
          if (note.kind === 'dead' || moved.kind === 'dead') continue;
          expect(midiOf(moved.pitch) - midiOf(note.pitch)).toBe(by);
        }
        for (const [i, c] of phrase.chords.entries()) {
          const moved = there.chords[i]!.symbol;
          if (c.symbol === null || moved === null) {
            expect(moved).toBe(c.symbol);
            continue;
          }
          const [from, to] = [chordOf(c.symbol), chordOf(moved)];
          expect(mod(chromaOf(to.root) - chromaOf(from.root) - by, 12)).toBe(0);
          expect([to.kind, to.degrees]).toEqual([from.kind, from.degrees]);
        }
      }),
      { numRuns: 150 },
    );
    expect(tried).toBeGreaterThan(60);
    const simple = build('q 3/2 3/4 4/2 2/3', { key: 'A blues', chords: 'A7 D7 |' });
    const there = run(simple, 'neck.capo-shapes', 3).phrase;
    expect(roles(there)).toEqual(roles(simple));
    expect(run(there, 'neck.capo-shapes', 0).phrase).toEqual(simple);
  });
});

describe('a metre and its tempo (T2)', () => {
  it('12 eighths count dotted quarters in the tempo too', () => {
    const empty = build('w -');
    const { phrase, say } = run(empty, 'bar.meter', '12/8');
    expect(phrase.tempo).toEqual({ bpm: empty.tempo.bpm, unit: 'dotted-quarter' });
    expect(say).toBe('counted in 12/8, the tempo in dotted quarters');
    expect(run(phrase, 'bar.meter', '4/4').phrase.tempo).toEqual(empty.tempo);
  });

  it('notes sound as fast as before', () => {
    const p = { ...build('q 3/5 3/7 3/5 3/7'), tempo: { bpm: 90, unit: 'quarter' } as const };
    expect(run(p, 'bar.meter', '12/8').phrase.tempo).toEqual({ bpm: 60, unit: 'dotted-quarter' });
  });

  it('leaves a unit that was chosen against the metre, and bars later on', () => {
    const p = { ...build('w 3/5 | w 3/7'), tempo: { bpm: 90, unit: 'half' } as const };
    expect(run(p, 'bar.meter', '12/8').phrase.tempo).toEqual(p.tempo);
    const two = build('w 3/5 | w 3/7');
    const s = startEditing(two);
    const second = { ...s, selection: { ...s.selection, cursor: { onset: 40_320, string: 3 } } };
    const outcome = runCommand(second, commandOf('bar.meter')!, '12/8');
    expect(outcome.kind === 'done' && outcome.state.phrase.tempo).toEqual(two.tempo);
  });

  it('tells which choice holds already', () => {
    const s = startEditing(build('w -'));
    expect(commandOf('bar.meter')!.now!(s)).toBe('4/4');
    expect(commandOf('key.feel')!.now!(s)).toBe('straight');
    expect(commandOf('neck.tune-pitches')!.now!(s)).toBe('standard');
    const swung = run(build('w -'), 'key.feel', 'shuffle').phrase;
    expect(commandOf('key.feel')!.now!(startEditing(swung))).toBe('shuffle');
  });
});

import { describe, expect, it } from 'vitest';
import { writeStruck } from '../../../../src/core/edit/commands/struck';
import { runCommand } from '../../../../src/core/edit/run';
import { startEditing } from '../../../../src/core/edit/state';
import { Gatherer } from '../../../../src/io/midi-in/gather';
import { MidiParser } from '../../../../src/io/midi-in/parse';
import { emptyPhrase } from '../../../support/edit';

/** `on 0 64`: kind, channel, key. */
const told = (bytes: readonly number[], parser = new MidiParser()) =>
  parser.read(bytes).map((n) => `${n.kind} ${n.channel} ${n.midi}`);

/** Streams written from the status table of MIDI 1.0: 8n note off, 9n note on, Cn program, En bend. */
describe('a stream of MIDI bytes', () => {
  it('has notes by channel, and note-on with velocity 0 as note-off', () => {
    expect(told([0x90, 64, 100, 0x85, 60, 0, 0x93, 67, 0])).toEqual([
      ...['on 0 64', 'off 5 60', 'off 3 67'],
    ]);
  });

  it('goes on under running status, whatever real-time bytes stand between, and in pieces', () => {
    const parser = new MidiParser();
    expect(told([0x91, 64, 0xf8, 90, 65], parser)).toEqual(['on 1 64']);
    expect(told([0xfe, 90, 0xff], parser)).toEqual(['on 1 65']);
  });

  it('passes over other messages and what belongs to none', () => {
    expect(told([12, 0xc0, 5, 0xe2, 0, 64, 0xb0, 7, 100, 0x90, 50, 1])).toEqual(['on 0 50']);
    // A system exclusive message ends running status, and its data is no note.
    expect(told([0x90, 60, 1, 0xf0, 61, 62, 63, 0xf7, 64, 65, 0x90, 66, 1])).toEqual([
      ...['on 0 60', 'on 0 66'],
    ]);
  });
});

describe('what was struck', () => {
  it('is one moment where it comes close together, and has its strings where they are sent', () => {
    const g = new Gatherer({ kind: 'a string each', first: 10, strings: 6 });
    expect(g.take({ kind: 'on', channel: 11, midi: 64 }, 1_000)).toEqual([]);
    expect(g.take({ kind: 'on', channel: 12, midi: 60 }, 1_030)).toEqual([]);
    expect(g.take({ kind: 'off', channel: 12, midi: 60 }, 1_040)).toEqual([]);
    expect(g.take({ kind: 'on', channel: 3, midi: 50 }, 1_100)).toEqual([
      { midi: 64, string: 2 },
      { midi: 60, string: 3 },
    ]);
    expect(g.settle()).toEqual([{ midi: 50 }]);
    expect(g.settle()).toEqual([]);
  });

  it('is written at the cursor, spelled, on its string or on the handiest one', () => {
    const start = startEditing(emptyPhrase());
    const both = runCommand(start, writeStruck, [
      { midi: 64, string: 2 },
      { midi: 60, string: 3 },
    ]);
    if (both.kind !== 'done') throw new Error(both.because);
    const next = runCommand(both.state, writeStruck, [{ midi: 70 }]);
    if (next.kind !== 'done') throw new Error(next.because);
    const { events } = next.state.phrase.voices[0];
    expect(events.map((e) => e.notes.map((n) => `${n.string}/${n.fret}`))).toEqual([
      ['2/5', '3/5'],
      ['1/6'],
    ]);
    expect(events[1]!.notes[0]).toMatchObject({ pitch: { letter: 'B', alter: -1, octave: 4 } });
    expect(next.state.selection.cursor.onset).toBe(10_080);
    expect(runCommand(start, writeStruck, [{ midi: 20 }])).toMatchObject({
      kind: 'not applicable',
      because: 'the instrument has no free string for Ab0',
    });
  });
});

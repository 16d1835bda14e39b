import fc from 'fast-check';
import type { Command } from '../../src/core/edit/command';
import { type History, NO_HISTORY, record } from '../../src/core/edit/history';
import { runCommand } from '../../src/core/edit/run';
import { type EditState, startEditing } from '../../src/core/edit/state';
import { boundTo, COMMANDS } from '../../src/core/edit/table';
import { STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import type { Phrase } from '../../src/core/phrase/types';

/** A phrase of one empty bar, as somebody begins one. */
export function emptyPhrase(change: Partial<Phrase> = {}): Phrase {
  return {
    ...BLANK,
    ...change,
  };
}

const BLANK: Phrase = {
  format: 'degreewise-phrase',
  version: 5,
  id: 'test',
  parent: null,
  meta: {
    title: 'Test',
    tags: [],
    created: '2026-11-25T12:00:00Z',
    modified: '2026-11-25T12:00:00Z',
  },
  instrument: STANDARD_GUITAR,
  key: { tonic: { letter: 'C', alter: 0 }, mode: 'major' },
  tempo: { bpm: 100, unit: 'quarter' },
  feel: { kind: 'straight' },
  pickup: 0,
  bars: [{ meter: { beats: 4, beatType: 4 } }],
  length: 40_320,
  chords: [],
  voices: [{ events: [], tuplets: [] }],
  marks: [],
};

/** One key pressed after the other; throws where a key does nothing or cannot. */
export function press(s: EditState, ...keys: readonly string[]): EditState {
  return keys.reduce((state, key) => {
    const bound = boundTo(key, state.pen.reading);
    if (bound === null) throw new Error(`${key} does nothing`);
    const outcome = runCommand(state, bound.command, bound.value);
    if (outcome.kind !== 'done') throw new Error(`${key}: ${outcome.because}`);
    return outcome.state;
  }, s);
}

/** The keys of a text, one a character: `'5+7'`. */
export function typeKeys(s: EditState, text: string): EditState {
  return press(s, ...text);
}

/** A command with a value that it may or may not take, drawn for the state it is to run in. */
export interface Draw {
  readonly command: number;
  readonly value: number;
  readonly text: string;
}

export const arbDraw: fc.Arbitrary<Draw> = fc.record({
  command: fc.nat({ max: 9_999 }),
  value: fc.nat({ max: 9_999 }),
  text: fc.oneof(
    fc.constantFrom(
      'G7',
      'Am7b5',
      'IV7',
      'bVII',
      'b3',
      'R',
      '13',
      '#4',
      '6/8',
      'Bb blues',
      'H2x',
      '',
    ),
    fc.string({ maxLength: 8 }),
  ),
});

/** What a draw means in a state. */
export function drawnCommand(s: EditState, d: Draw): { command: Command; value: unknown } {
  const command = COMMANDS[d.command % COMMANDS.length]!;
  const { ask } = command;
  const pick = <T>(list: readonly T[]): T | undefined =>
    list.length === 0 ? undefined : list[d.value % list.length];
  switch (ask.kind) {
    case 'nothing':
      return { command, value: undefined };
    case 'choice':
      return { command, value: pick(ask.choices)?.value };
    case 'number': {
      const steps = Math.floor((ask.most - ask.least) / ask.step);
      return { command, value: ask.least + (d.value % (steps + 1)) * ask.step };
    }
    case 'text':
      return { command, value: d.value % 3 === 0 ? ask.example : d.text };
    case 'given':
      return { command, value: pick(ask.some(s)) };
  }
}

/** A state with all that led to it. */
export interface Session {
  readonly state: EditState;
  readonly history: History;
}

export function beginSession(p: Phrase): Session {
  return { state: startEditing(p), history: NO_HISTORY };
}

/** One command, recorded; what does not apply leaves everything as it is. */
export function runDraw(session: Session, d: Draw, at: number): Session {
  const { command, value } = drawnCommand(session.state, d);
  const outcome = runCommand(session.state, command, value);
  if (outcome.kind !== 'done') return session;
  return record(session.history, session.state, outcome.state, {
    command: command.id,
    label: command.title,
    at,
    joins: command.joins === true,
  });
}

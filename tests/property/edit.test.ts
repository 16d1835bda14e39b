import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { redo, undo } from '../../src/core/edit/history';
import { runCommand, whyNot } from '../../src/core/edit/run';
import { type EditState, startEditing } from '../../src/core/edit/state';
import { COMMANDS, commandOf } from '../../src/core/edit/table';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { arbPhrase } from '../support/arbitrary';
import { build } from '../support/build';
import {
  arbDraw,
  beginSession,
  type Draw,
  drawnCommand,
  emptyPhrase,
  press,
  runDraw,
  type Session,
} from '../support/edit';
import { runs } from '../support/thorough';

const SEED = 20_261_125;

/** Two strings a third or a fourth apart at every moment, as unison bends ask for. */
const DOUBLE_STOPS = build(
  'q 2/5+3/7 2/8+3/10 1/5+2/8 2/3+3/4 | q 2/5+3/7 2/8+3/10 1/5+2/8 2/3+3/4 | w 2/5+3/7',
  {
    chords: 'A7 | D7 | A7',
  },
);

/** Pointing at the cursor's own cell, or at the fret that is written there, is answered with how it is. */
const ANSWERS: ReadonlySet<string> = new Set(['go.to', 'write.place']);

/** A session of commands on an empty phrase or on a full one. */
const arbSession = fc.record({
  phrase: fc.oneof(
    { weight: 1, arbitrary: fc.constant(emptyPhrase()) },
    { weight: 1, arbitrary: fc.constant(DOUBLE_STOPS) },
    { weight: 3, arbitrary: arbPhrase() },
  ),
  draws: fc.array(arbDraw, { minLength: 20, maxLength: 80 }),
});

function runDone(s: EditState, id: string, value: unknown): EditState {
  const outcome = runCommand(s, commandOf(id)!, value);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  return outcome.state;
}

function play(session: Session, draws: readonly Draw[]): Session {
  return draws.reduce((s, d, i) => runDraw(s, d, i * 500), session);
}

describe('random sequences of commands', () => {
  it('never give an invalid phrase, and a cursor that lies in it', () => {
    fc.assert(
      fc.property(arbSession, ({ phrase, draws }) => {
        let session = beginSession(phrase);
        draws.forEach((d, i) => {
          session = runDraw(session, d, i * 500);
          const { phrase: now, selection } = session.state;
          const problems = checkPhrase(now);
          if (problems.length > 0) {
            const { command, value } = drawnCommand(session.state, d);
            expect({ command: command.id, value, problems }).toBeNull();
          }
          expect(selection.cursor.onset).toBeLessThanOrEqual(now.length);
          expect(selection.cursor.string).toBeLessThanOrEqual(now.instrument.tuning.length);
        });
      }),
      { numRuns: runs(20, 60), seed: SEED },
    );
  });

  it('are undone to the first phrase and redone to the last, step by step', () => {
    fc.assert(
      fc.property(arbSession, ({ phrase, draws }) => {
        const end = play(beginSession(phrase), draws);
        const seen = [end.state.phrase];
        let at = { history: end.history, phrase: end.state.phrase };
        for (let t = undo(at.history, at.phrase); t !== null; t = undo(at.history, at.phrase)) {
          expect(checkPhrase(t.phrase)).toEqual([]);
          seen.push(t.phrase);
          at = t;
        }
        expect(at.phrase).toEqual(phrase);
        for (let t = redo(at.history, at.phrase); t !== null; t = redo(at.history, at.phrase)) {
          seen.pop();
          expect(t.phrase).toEqual(seen.at(-1));
          at = t;
        }
        expect(at.phrase).toEqual(end.state.phrase);
      }),
      { numRuns: runs(20, 60), seed: SEED + 1 },
    );
  });

  it('are kept as JSON and still lead back', () => {
    fc.assert(
      fc.property(arbSession, ({ phrase, draws }) => {
        const end = play(beginSession(phrase), draws);
        let at = {
          history: JSON.parse(JSON.stringify(end.history)) as typeof end.history,
          phrase: JSON.parse(JSON.stringify(end.state.phrase)) as typeof phrase,
        };
        for (let t = undo(at.history, at.phrase); t !== null; t = undo(at.history, at.phrase))
          at = t;
        expect(at.phrase).toEqual(JSON.parse(JSON.stringify(phrase)));
      }),
      { numRuns: runs(12, 40), seed: SEED + 2 },
    );
  });

  it('answer alike whether they are asked or run, and change nothing given to them', () => {
    fc.assert(
      fc.property(arbSession, ({ phrase, draws }) => {
        let session = beginSession(phrase);
        draws.forEach((d, i) => {
          const { command, value } = drawnCommand(session.state, d);
          const frozen = JSON.stringify(session.state);
          const why = whyNot(session.state, command, value);
          const ran = runCommand(session.state, command, value);
          expect(ran.kind === 'done' ? null : ran.because).toBe(why);
          if (why !== null) expect(why).not.toMatch(/^[A-Z]|\.$|undefined|NaN/u);
          expect(JSON.stringify(session.state)).toBe(frozen);
          session = runDraw(session, d, i * 500);
        });
      }),
      { numRuns: runs(12, 40), seed: SEED + 3 },
    );
  });

  it('change something where they say that it is done', () => {
    fc.assert(
      fc.property(arbSession, ({ phrase, draws }) => {
        let session = beginSession(phrase);
        draws.forEach((d, i) => {
          const { command, value } = drawnCommand(session.state, d);
          const ran = runCommand(session.state, command, value);
          if (ran.kind === 'done' && !ANSWERS.has(command.id)) {
            const idle = isDeepStrictEqual(ran.state, session.state);
            expect({ command: command.id, value, idle }).toEqual({
              command: command.id,
              value,
              idle: false,
            });
          }
          session = runDraw(session, d, i * 500);
        });
      }),
      { numRuns: runs(60, 300), seed: SEED + 5 },
    );
  });

  it('reach every command, so that none is tried only where it does not apply', () => {
    const missing = new Set(COMMANDS.map((c) => c.id));
    for (let batch = 0; batch < 6 && missing.size > 0; batch++) {
      for (const { phrase, draws } of fc.sample(arbSession, {
        numRuns: 25,
        seed: SEED + 4 + batch,
      })) {
        let session = beginSession(phrase);
        draws.forEach((d, i) => {
          const { command, value } = drawnCommand(session.state, d);
          if (runCommand(session.state, command, value).kind === 'done') missing.delete(command.id);
          session = runDraw(session, d, i * 500);
        });
      }
    }
    // Some want a double stop, a bend, a grace or a bar between two, which chance seldom chooses.
    const both = runDone(startEditing(DOUBLE_STOPS), 'choose.all', 'moment');
    const bent = press(startEditing(DOUBLE_STOPS), 'b');
    const between = runDone(startEditing(DOUBLE_STOPS), 'go', 'bar on');
    const graced = runDone(startEditing(DOUBLE_STOPS), 'hand.grace', '-1 pluck');
    for (const state of [both, bent, graced, between]) {
      for (const command of COMMANDS) {
        const { ask } = command;
        const values =
          ask.kind === 'given'
            ? ask.some(state)
            : ask.kind === 'choice'
              ? ask.choices.map((c) => c.value)
              : ask.kind === 'text'
                ? ask.example.split(/, | or /u)
                : [undefined];
        if (values.some((v) => runCommand(state, command, v).kind === 'done')) {
          missing.delete(command.id);
        }
      }
    }
    expect([...missing]).toEqual([]);
  });
});

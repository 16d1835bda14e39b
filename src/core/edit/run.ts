import { mendAfter } from '../validity/mend';
import type { Command } from './command';
import { follow } from './follow';
import { cannot, done, type Outcome } from './outcome';
import type { EditState, Selection } from './state';

/**
 * Runs a command, or asks whether it would run: the same pure function. Whatever it answers with is
 * a valid phrase and a selection that lies in it; an edit that would break a rule of the phrase is
 * 'not applicable', with the rule as the reason.
 */
export function runCommand(state: EditState, command: Command, value?: unknown): Outcome {
  const outcome = command.apply(state, value);
  if (outcome.kind === 'not applicable') return outcome;
  if (outcome.state.phrase === state.phrase) {
    return done(within(outcome.state), outcome.say);
  }
  const mended = mendAfter(state.phrase, outcome.state.phrase);
  if (!mended.ok) return cannot(mended.problem.message);
  const gave = [...new Set(mended.gaveWay)];
  const say = [outcome.say, ...(gave.length === 0 ? [] : [`${gave.join(', ')} taken off`])]
    .filter((t) => t !== '')
    .join('; ');
  return done(within(follow(state, { ...outcome.state, phrase: mended.phrase })), say);
}

/** Why a command cannot be run now; null where it can. */
export function whyNot(state: EditState, command: Command, value?: unknown): string | null {
  const outcome = runCommand(state, command, value);
  return outcome.kind === 'done' ? null : outcome.because;
}

/** The state with its selection inside its phrase. */
function within(s: EditState): EditState {
  const strings = s.phrase.instrument.tuning.length;
  const inside = (c: Selection['cursor']) => ({
    onset: Math.max(0, Math.min(c.onset, s.phrase.length)),
    string: Math.max(1, Math.min(c.string, strings)),
  });
  const { selection } = s;
  const cursor = inside(selection.cursor);
  const corner = selection.corner === null ? null : inside(selection.corner);
  const same = (a: Selection['cursor'] | null, b: Selection['cursor'] | null) =>
    a?.onset === b?.onset && a?.string === b?.string;
  if (same(cursor, selection.cursor) && same(corner, selection.corner)) return s;
  return { ...s, selection: { ...selection, cursor, corner } };
}

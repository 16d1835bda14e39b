import { runCommand, whyNot } from '../../src/core/edit/run';
import { type EditState, startEditing } from '../../src/core/edit/state';
import { boundTo, commandOf } from '../../src/core/edit/table';
import type { Phrase } from '../../src/core/phrase/types';

/** The writer on a string of the phrase's event, counted from 0 in the first voice. */
export function cursorOn(p: Phrase, string: number, event = 0): EditState {
  const s = startEditing(p);
  return { ...s, selection: { ...s.selection, cursor: { onset: onsetOf(p, event), string } } };
}

/** The writer with the events from one to another chosen, all strings of them. */
export function chosen(p: Phrase, from = 0, to = p.voices[0].events.length - 1): EditState {
  const s = startEditing(p);
  const corner = { onset: onsetOf(p, from), string: 1 };
  const cursor = { onset: onsetOf(p, to), string: p.instrument.tuning.length };
  return { ...s, selection: { ...s.selection, corner, cursor } };
}

function onsetOf(p: Phrase, event: number): number {
  const e = p.voices[0].events[event];
  if (e === undefined) throw new RangeError(`there is no event ${event}`);
  return e.onset;
}

/** A command of the table with a value, by its id. */
export function ordered(s: EditState, id: string, value?: unknown): EditState {
  const outcome = runCommand(s, theCommand(id), value);
  if (outcome.kind !== 'done') throw new Error(`${id}: ${outcome.because}`);
  return outcome.state;
}

/** Why a command of the table cannot be run; null where it can. */
export function refusal(s: EditState, id: string, value?: unknown): string | null {
  return whyNot(s, theCommand(id), value);
}

/** Why a key does nothing now; null where it does something. */
export function refusalOfKey(s: EditState, key: string): string | null {
  const bound = boundTo(key, s.pen.reading);
  if (bound === null) throw new Error(`${key} is bound to nothing`);
  return whyNot(s, bound.command, bound.value);
}

/** What is said when a command is run. */
export function said(s: EditState, id: string, value?: unknown): string {
  const outcome = runCommand(s, theCommand(id), value);
  if (outcome.kind !== 'done') throw new Error(`${id}: ${outcome.because}`);
  return outcome.say;
}

function theCommand(id: string) {
  const command = commandOf(id);
  if (command === null) throw new RangeError(`there is no command ${id}`);
  return command;
}

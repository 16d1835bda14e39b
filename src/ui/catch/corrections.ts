import type { Command } from '../../core/edit/command';
import { goTo } from '../../core/edit/commands/go';
import { type History, NO_HISTORY, record, redo, undo } from '../../core/edit/history';
import { done, type Outcome } from '../../core/edit/outcome';
import { runCommand } from '../../core/edit/run';
import { chosenNotes } from '../../core/edit/select';
import { cursorAt, type EditState, startEditing } from '../../core/edit/state';
import { commandOf } from '../../core/edit/table';
import type { HeardNote } from '../../core/heard/types';
import type { NoteId, Phrase } from '../../core/phrase/types';
import { withEvents, withLength } from '../../core/phrase/voices';
import type { CaughtPhrase } from '../../io/heard/phrases';
import type { ChangeNote } from '../frame/edits';
import type { Told } from '../frame/writing/writer';
import { titleOfRun } from '../shared/command-words';

/** A sound of the recording, whatever it is written as. */
export type SoundKey = string;

export function soundKey({ onset, pitch }: Pick<HeardNote, 'onset' | 'pitch'>): SoundKey {
  return `${onset} ${pitch}`;
}

/** A command that was run on sounds of the recording, so that it can be run on them once more. */
interface Made {
  readonly command: string;
  readonly value: unknown;
  readonly sounds: readonly SoundKey[];
  /** Digits typed into the cell before it. */
  readonly typed: string;
}

/** A phrase that was caught, being corrected: what `edits` is to a phrase of the library. */
export interface Corrected {
  readonly caught: CaughtPhrase;
  readonly state: EditState;
  readonly history: History;
  /** What each step of the history was made by. */
  readonly made: readonly (readonly Made[])[];
  readonly told: Told;
}

const SILENT: Told = { text: '', refused: false };

export function uncorrected(caught: CaughtPhrase): Corrected {
  const { phrase } = caught;
  const first = phrase.voices[0]?.events[0];
  const state = startEditing(phrase);
  const cell = { onset: first?.onset ?? 0, string: first?.notes[0]?.string ?? 1 };
  return {
    caught,
    state: { ...state, selection: cursorAt(0, cell) },
    history: NO_HISTORY,
    made: [],
    told: SILENT,
  };
}

/** The phrase as it stands, with what was heard of the notes that are left. */
export function correctedPhrase(c: Corrected): CaughtPhrase {
  if (c.history.done === 0) return c.caught;
  const known = CORRECTED.get(c.state.phrase);
  if (known?.heard === c.caught.heard) return known;
  const made = { ...c.caught, phrase: c.state.phrase };
  CORRECTED.set(c.state.phrase, made);
  return made;
}

/** What does not change is the same object, so that it is not drawn again. */
const CORRECTED = new WeakMap<Phrase, CaughtPhrase>();

/** Runs a command of the table; what cannot be done is told and changes nothing. */
export function correct(
  c: Corrected,
  command: Command,
  value: unknown,
  at: number,
): { readonly next: Corrected; readonly outcome: Outcome } {
  const note = {
    command: command.id,
    label: titleOfRun(command, value),
    joins: command.joins === true,
  };
  const before = c.state;
  const made = {
    command: command.id,
    value,
    sounds: chosenNotes(before).flatMap((x) => soundOf(c.caught, x.note.id) ?? []),
    typed: before.selection.typed,
  };
  return taken(c, runCommand(before, command, value), note, made, at);
}

/** Takes the outcome of something that is no command of the table. */
export function takeOutcome(c: Corrected, outcome: Outcome, note: ChangeNote, at: number) {
  return taken(c, outcome, note, null, at);
}

/** What a phrase is called and sorted under, as its player says. */
export interface Called {
  readonly title: string;
  readonly tags: readonly string[];
}

/** Not a command of the table, and made again with the others: by it a phrase got its name. */
const CALLED = 'call it';

/** Calls the phrase something else; a title typed letter by letter is one step. */
export function callIt(c: Corrected, called: Called, at: number): Corrected {
  const { phrase } = c.state;
  const state = { ...c.state, phrase: { ...phrase, meta: { ...phrase.meta, ...called } } };
  // All of them: the first may be taken out, and the name stays with the others.
  const sounds = [...c.caught.heard.values()].map(soundKey);
  const made = { command: CALLED, value: called, sounds, typed: '' };
  const note = { command: CALLED, label: 'Title and tags', joins: true };
  return taken(c, done(state), note, made, at).next;
}

/** Not a command of the table either: somebody looked at a rhythm that was unsure. */
const RIGHT = 'its rhythm is right';

/** The rhythm of a sound is as it is written: it is guessed no more. */
export function rhythmIsRight(c: Corrected, key: SoundKey, at: number): Corrected {
  const found = cellOfSound(c.state.phrase, c.caught, key);
  if (found === null) return c;
  const phrase = withEvents(c.state.phrase, found.voice, (events) =>
    events.map((e) => (e.onset === found.cell.onset ? withLength(e, e.duration) : e)),
  );
  const made = { command: RIGHT, value: null, sounds: [key], typed: '' };
  const note = { command: RIGHT, label: 'The rhythm is right', joins: false };
  return taken(c, done({ ...c.state, phrase }), note, made, at).next;
}

function taken(
  c: Corrected,
  outcome: Outcome,
  note: ChangeNote,
  made: Made | null,
  at: number,
): { readonly next: Corrected; readonly outcome: Outcome } {
  if (outcome.kind === 'not applicable') {
    const told = { text: `Not done: ${outcome.because}.`, refused: true };
    return { next: { ...c, told }, outcome };
  }
  const recorded = record(c.history, c.state, outcome.state, { ...note, at });
  const told = { text: outcome.say, refused: false };
  const changed = recorded.history !== c.history;
  const next = {
    ...c,
    state: recorded.state,
    history: recorded.history,
    made: changed ? withMade(c, recorded.history, made) : c.made,
    told,
  };
  return { next, outcome: { ...outcome, state: recorded.state } };
}

/** What was made, step by step: a step that was joined to the one before has both; of names the last one counts. */
function withMade(c: Corrected, history: History, made: Made | null): Corrected['made'] {
  const kept = c.made.slice(0, c.history.done);
  const one = made === null ? [] : [made];
  const joined = history.steps.length === kept.length && kept.length > 0;
  if (!joined) return [...kept, one];
  const before = kept.at(-1)!.filter((m) => made?.command !== CALLED || m.command !== CALLED);
  return [...kept.slice(0, -1), [...before, ...one]];
}

function soundOf(caught: CaughtPhrase, id: NoteId): SoundKey | null {
  const heard = caught.heard.get(id);
  return heard === undefined ? null : soundKey(heard);
}

export function takeBack(c: Corrected): Corrected {
  return travelled(c, undo(c.history, c.state.phrase), 'Taken back', 'There is nothing to undo.');
}

export function doAgain(c: Corrected): Corrected {
  return travelled(c, redo(c.history, c.state.phrase), 'Done again', 'Nothing was undone.');
}

function travelled(
  c: Corrected,
  to: ReturnType<typeof undo>,
  done: string,
  nothing: string,
): Corrected {
  if (to === null) return { ...c, told: { text: nothing, refused: true } };
  const { history, phrase, selection, step } = to;
  const told = { text: `${done}: ${step.label}`, refused: false };
  return { ...c, history, state: { ...c.state, phrase, selection }, told };
}

/** The phrase with the cursor on what a sound is written as; null where it is none of its notes. */
export function goToSound(c: Corrected, key: SoundKey): Corrected | null {
  const found = cellOfSound(c.state.phrase, c.caught, key);
  if (found === null) return null;
  const at = { ...c.state, selection: { ...c.state.selection, voice: found.voice } };
  const outcome = runCommand(at, goTo, found.cell);
  return outcome.kind === 'done' ? { ...c, state: outcome.state, told: SILENT } : null;
}

/** The sound of the one note that is chosen; null where there is none or are several. */
export function soundChosen({ caught, state }: Corrected): SoundKey | null {
  const [one, ...more] = chosenNotes(state);
  return one === undefined || more.length > 0 ? null : soundOf(caught, one.note.id);
}

function cellOfSound(phrase: Phrase, caught: CaughtPhrase, key: SoundKey) {
  for (const [voice, v] of phrase.voices.entries()) {
    for (const e of v.events) {
      const note = e.notes.find((n) => soundOf(caught, n.id) === key);
      if (note === undefined) continue;
      const cell = { onset: e.onset, string: note.string };
      return { voice: voice === 0 ? 0 : 1, cell, id: note.id } as const;
    }
  }
  return null;
}

/**
 * What was corrected, made once more where the same recording has been written anew: each command on
 * the sounds it was run on.
 * @param isOneReading Whether it is read in the same tempo and metre: in others nobody has said of a rhythm that it is right.
 * @returns the phrases by id, how many corrections have no place any more, and how many of these are rhythms of another reading.
 */
export function correctedAnew(
  before: readonly Corrected[],
  phrases: readonly CaughtPhrase[],
  at: number,
  isOneReading = true,
): { readonly all: readonly Corrected[]; readonly lost: number; readonly rhythms: number } {
  const all = phrases.map(uncorrected);
  let [lost, rhythms] = [0, 0];
  for (const made of before.flatMap((c) => c.made.slice(0, c.history.done))) {
    for (const one of made) {
      const isOfOther = one.command === RIGHT && !isOneReading;
      if (isOfOther) rhythms++;
      if (isOfOther || !remade(all, one, at)) lost++;
    }
  }
  return { all: all.map((c) => ({ ...c, told: SILENT })), lost, rhythms };
}

/** What was set aside comes back from a disk. */
function isCalled(x: unknown): x is Called {
  const { title, tags } = (x ?? {}) as Partial<Called>;
  const texts = [title, ...(Array.isArray(tags) ? tags : [null])];
  return texts.every((t) => typeof t === 'string');
}

/** Makes one correction in the phrase that has its sounds now. */
function remade(
  all: Corrected[],
  { command: id, value, sounds, typed }: Made,
  at: number,
): boolean {
  const command = commandOf(id);
  const of = new Map(
    all.flatMap((c, i) => [...c.caught.heard.values()].map((n) => [soundKey(n), i] as const)),
  );
  const [first] = id === CALLED ? sounds.filter((k) => of.has(k)) : sounds;
  if (first === undefined) return false;
  const index = of.get(first) ?? -1;
  const c = all[index];
  if (c === undefined) return false;
  if (id === CALLED) {
    if (!isCalled(value)) return false;
    all[index] = callIt(c, value, at);
    return true;
  }
  if (id === RIGHT) {
    all[index] = rhythmIsRight(c, first, at);
    return true;
  }
  if (command === null || cellOfSound(c.state.phrase, c.caught, first) === null) return false;
  const cells = sounds.flatMap((k) => cellOfSound(c.state.phrase, c.caught, k) ?? []);
  const { voice, cell } = cells[0]!;
  const selection = { ...cursorAt(voice, cell), fresh: cells.map((x) => x.id), typed };
  const { next, outcome } = correct({ ...c, state: { ...c.state, selection } }, command, value, at);
  if (outcome.kind !== 'done' || cells.length < sounds.length) return false;
  all[index] = next;
  return true;
}

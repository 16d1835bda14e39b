import type { Command } from '../../core/edit/command';
import { bendNext, bendShape } from '../../core/edit/commands/bends';
import { setAttack } from '../../core/edit/commands/left-hand';
import { putAtPlace } from '../../core/edit/commands/other-place';
import { runCommand } from '../../core/edit/run';
import { chosenNotes } from '../../core/edit/select';
import type { EditState } from '../../core/edit/state';
import { type InsteadWritten, insteadOf } from '../../core/heard/instead-written';
import type { HeardNote } from '../../core/heard/types';
import { type Phrase, TICKS_PER_QUARTER } from '../../core/phrase/types';
import type { Stretch } from '../../core/practice/types';
import { analyse } from '../../core/understand/analyse';
import { TYPESET } from '../../io/text/signs';
import { readingInWords } from '../score/note-words';
import { SURE } from './use-asking';

/** What a note may be instead: a command of the table, or that it is none. */
export type Candidate = {
  /** Its degree and place, or what else it is: `E4, 3 of C7, fret 5 on string 2`, `hammered on`. */
  readonly words: string;
} & (
  | { readonly kind: 'command'; readonly command: Command; readonly value: unknown }
  | { readonly kind: 'absent' }
);

/** So many at most: each has a digit. */
const MOST = 6;

/**
 * What the one chosen note may be instead, the likeliest first by what was heard and by what a hand can have; what
 * nobody could play comes last. Only what can be done.
 */
export function candidatesFor(state: EditState, heard: HeardNote): readonly Candidate[] {
  const [one, ...more] = chosenNotes(state);
  if (one === undefined || more.length > 0 || one.note.kind !== 'pitched') return [];
  const out: Candidate[] = [];
  const all = insteadOf(state.phrase, one.note.id, heard);
  // Of a note that nobody asks about something was played: whoever points at it means something else, and X takes it out.
  const isNone = ({ instead }: InsteadWritten) => instead.kind === 'absent';
  const guesses =
    heard.confidence < SURE ? all : [...all.filter((g) => !isNone(g)), ...all.filter(isNone)];
  for (const guess of guesses) {
    const candidate = candidateOf(state, one.note.id, guess);
    if (candidate !== null) out.push(candidate);
    if (out.length === MOST) break;
  }
  return out;
}

function candidateOf(state: EditState, id: string, guess: InsteadWritten): Candidate | null {
  const { instead } = guess;
  if (instead.kind === 'absent') return { kind: 'absent', words: 'nothing that was played' };
  const { command, value } = commandFor(guess);
  const outcome = runCommand(state, command, value);
  if (outcome.kind !== 'done' || outcome.state.phrase === state.phrase) return null;
  const { place } = guess;
  const said = place === undefined ? outcome.say : placeWords(outcome.state.phrase, id, place);
  const words = guess.playable ? said : `${said}, which no hand has there`;
  return { kind: 'command', words, command, value };
}

function commandFor({ instead, place }: InsteadWritten): { command: Command; value?: unknown } {
  switch (instead.kind) {
    case 'attack':
      return { command: setAttack, value: instead.attack };
    case 'bend':
      return instead.bends ? { command: bendNext } : { command: bendShape, value: 'none' };
    default:
      return { command: putAtPlace, value: place };
  }
}

function placeWords(
  phrase: Phrase,
  id: string,
  { string, fret }: NonNullable<InsteadWritten['place']>,
): string {
  const reading = analyse(phrase).byId.get(id);
  // With its octave, since that is what may be wrong.
  const note =
    reading === undefined
      ? ''
      : `${readingInWords(reading, reading.start, TYPESET.pitch(reading.note.pitch))}, `;
  return `${note}${fret === 0 ? 'open' : `fret ${fret} on`} string ${string}`;
}

/** What of a phrase is heard of a note that was chosen instead: from what leads up to it on. */
export function stretchAround(phrase: Phrase, onset: number): Stretch {
  const from = Math.max(0, onset - TICKS_PER_QUARTER / 2);
  const to = Math.min(phrase.length, onset + TICKS_PER_QUARTER);
  return { from, to, fills: 'beat' };
}

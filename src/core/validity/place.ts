import { playableFrets } from '../phrase/instrument';
import type { Instrument, Phrase, PhraseEvent, Place } from '../phrase/types';
import { formatPitch, midiOf, type Pitch } from '../theory/pitch';
import type { Findings } from './findings';

/**
 * Pointers are text that only a fault needs, and checking goes through every note at every key that
 * is pressed: they are made when they are asked for.
 */
export type Pointer = () => string;

/** Where a note stands, for those who report on it. */
export class NotePlace {
  readonly instrument: Instrument;

  constructor(
    p: Phrase,
    readonly events: readonly PhraseEvent[],
    readonly eventIndex: number,
    private readonly where: Pointer,
    private readonly at: Place,
    private readonly out: Findings,
  ) {
    this.instrument = p.instrument;
  }

  /** Pointer of the note. */
  get pointer(): string {
    return this.where();
  }

  /** Reports on the note or, with `field`, on one of its parts. */
  report(message: string, fix: string, field?: string): void {
    const pointer = field === undefined ? this.pointer : `${this.pointer}/${field}`;
    const { onset } = this.events[this.eventIndex]!;
    this.out.add({ pointer, message, fix, onset, string: this.at.string });
  }
}

/** The order of what is struck together, and no string twice. */
export function checkOrder(
  notes: readonly Place[],
  pointer: Pointer,
  event: PhraseEvent,
  out: Findings,
): void {
  for (let i = 1; i < notes.length; i++) {
    const { string } = notes[i]!;
    const before = notes[i - 1]!.string;
    if (string > before) continue;
    out.add({
      pointer: `${pointer()}/${i}/string`,
      message:
        string === before
          ? `string ${string} is struck twice at once`
          : 'the notes struck together are not in order of their strings',
      fix:
        string === before
          ? 'Put one of the notes on another string or remove it.'
          : 'Write them from the lowest string number up.',
      onset: event.onset,
      string,
    });
  }
}

/** Whether string and fret exist (N2). */
export function checkFret(at: Place, place: NotePlace): boolean {
  const strings = place.instrument.tuning.length;
  if (!(at.string >= 1 && at.string <= strings)) {
    place.report(
      `there is no string ${at.string}`,
      `The instrument has strings 1 to ${strings}.`,
      'string',
    );
    return false;
  }
  const top = playableFrets(place.instrument);
  // The capo leaves no fret, which is told of the instrument.
  if (top <= 0) return false;
  if (!(at.fret >= 0 && at.fret <= top)) {
    place.report(
      `there is no fret ${at.fret}`,
      `The frets are 0 to ${top}${place.instrument.capo > 0 ? ', counted from the capo' : ''}.`,
      'fret',
    );
    return false;
  }
  return true;
}

/** The pitch must be what the place sounds. */
export function checkPitch(pitch: Pitch, expected: number, place: NotePlace): void {
  if (midiOf(pitch) === expected) return;
  place.report(
    `${formatPitch(pitch)} (MIDI ${midiOf(pitch)}) is not what the place on the neck sounds, MIDI ${expected}`,
    'Change the pitch, the string or the fret; pitch is open string plus capo plus fret.',
    'pitch',
  );
}

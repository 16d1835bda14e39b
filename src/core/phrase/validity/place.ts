import { playableFrets } from '../../neck/tuning';
import { formatPitch, midiOf, type Pitch } from '../../theory/pitch';
import type { Instrument, Phrase, PhraseEvent, Place } from '../types';
import type { Findings } from './findings';

/** Where a note stands, for those who report on it. */
export interface NotePlace {
  readonly events: readonly PhraseEvent[];
  readonly eventIndex: number;
  /** Pointer of the note. */
  readonly pointer: string;
  readonly instrument: Instrument;
  /** Reports on the note or, with `field`, on one of its parts. */
  report(message: string, fix: string, field?: string): void;
}

export function placeOf(
  p: Phrase,
  events: readonly PhraseEvent[],
  eventIndex: number,
  pointer: string,
  at: Place,
  out: Findings,
): NotePlace {
  const onset = events[eventIndex]!.onset;
  return {
    events,
    eventIndex,
    pointer,
    instrument: p.instrument,
    report: (message, fix, field) => {
      const target = field === undefined ? pointer : `${pointer}/${field}`;
      out.add({ pointer: target, message, fix, onset, string: at.string });
    },
  };
}

/** The order of what is struck together, and no string twice. */
export function checkOrder(
  notes: readonly Place[],
  pointer: string,
  event: PhraseEvent,
  out: Findings,
): void {
  for (let i = 1; i < notes.length; i++) {
    const { string } = notes[i]!;
    const before = notes[i - 1]!.string;
    if (string > before) continue;
    out.add({
      pointer: `${pointer}/${i}/string`,
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

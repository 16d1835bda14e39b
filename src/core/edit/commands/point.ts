import { openMidi } from '../../phrase/instrument';
import type { PitchedNote, Place } from '../../phrase/types';
import { formatPitch, isAlter, LETTERS, midiOf, type Pitch } from '../../theory/pitch';
import { spellAt } from '../../understand/spell';
import { choosePlace } from '../choose-place';
import { defineCommand } from '../command';
import { cannot } from '../outcome';
import type { EditState } from '../state';
import { freshIds, writeNotes } from '../write';
import { writeFret } from './frets';

/** A place of the neck that was pointed at. */
export interface PlaceGiven extends Place {
  /** The cursor goes on by itself: notes one after the other. */
  readonly on: boolean;
}

/** A tap on the neck. */
export const writePlace = defineCommand<PlaceGiven>({
  id: 'write.place',
  group: 'Writing notes',
  title: 'Write a place of the neck pointed at',
  ask: {
    kind: 'given',
    is: isPlace,
    some: (s) => [
      { string: 1, fret: 0, on: false },
      { string: 2, fret: 7, on: true },
      { string: s.phrase.instrument.tuning.length, fret: 40, on: true },
      { string: 0, fret: 1, on: true },
    ],
  },
  apply: (s, { string, fret, on }) => {
    if (!(string >= 1 && string <= s.phrase.instrument.tuning.length)) {
      return cannot(`there is no string ${string}`);
    }
    const { selection } = s;
    const there: EditState = {
      ...s,
      selection: { ...selection, cursor: { ...selection.cursor, string }, typed: '' },
    };
    return writeFret(there, fret, '', on ? 'on' : 'stay');
  },
});

/** A pitch that was pointed at on the staff: in its spelling, at the handiest place. */
export const writePitch = defineCommand<{ readonly pitch: Pitch; readonly on: boolean }>({
  id: 'write.pitch',
  group: 'Writing notes',
  title: 'Write a pitch pointed at',
  ask: {
    kind: 'given',
    is: isPitchGiven,
    some: (s) => [
      { pitch: spellAt(s.phrase, s.selection.cursor.onset, 64), on: true },
      { pitch: { letter: 'G', alter: 1, octave: 3 }, on: false },
      { pitch: { letter: 'C', alter: 0, octave: 9 }, on: false },
    ],
  },
  apply: (s, { pitch, on }) => {
    const place = choosePlace(s, midiOf(pitch));
    if (place === null) return cannot(`the instrument does not have ${formatPitch(pitch)}`);
    const note: PitchedNote = { kind: 'pitched', id: freshIds(s, 1)[0]!, pitch, ...place };
    const at = {
      ...s,
      selection: { ...s.selection, cursor: { ...s.selection.cursor, string: place.string } },
    };
    return writeNotes(
      at,
      [note],
      on ? 'on' : 'stay',
      `${formatPitch(pitch)}, fret ${place.fret} on string ${place.string}`,
    );
  },
});

/** The sounding pitch of a place, for whoever shows the neck; as it would be spelled at the cursor. */
export function pitchAtPlace(s: EditState, place: Place): Pitch {
  return spellAt(
    s.phrase,
    s.selection.cursor.onset,
    openMidi(s.phrase.instrument, place.string) + place.fret,
  );
}

function isPlace(x: unknown): x is PlaceGiven {
  if (typeof x !== 'object' || x === null) return false;
  const { string, fret, on } = x as Record<string, unknown>;
  return (
    Number.isInteger(string) &&
    typeof fret === 'number' &&
    Number.isInteger(fret) &&
    fret >= 0 &&
    typeof on === 'boolean'
  );
}

function isPitchGiven(x: unknown): x is { readonly pitch: Pitch; readonly on: boolean } {
  if (typeof x !== 'object' || x === null) return false;
  const { pitch, on } = x as Record<string, unknown>;
  if (typeof pitch !== 'object' || pitch === null || typeof on !== 'boolean') return false;
  const { letter, alter, octave } = pitch as Record<string, unknown>;
  return (
    LETTERS.some((l) => l === letter) &&
    typeof alter === 'number' &&
    isAlter(alter) &&
    Number.isInteger(octave)
  );
}

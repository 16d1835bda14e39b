import { openMidi, placeMidi } from '../../neck/tuning';
import type { Note, PitchedNote } from '../../phrase/types';
import { heardPitch } from '../../phrase/walk';
import { type Degree, degree, degreeNearMidi, degreeSign, parseDegree } from '../../theory/degree';
import { isAlter, type Midi, midiOf, type Pitch } from '../../theory/pitch';
import { choosePlace, lastNote, placesFor } from '../choose-place';
import { defineCommand } from '../command';
import { cannot, done, type Outcome } from '../outcome';
import { chosenNotes, voiceOf } from '../select';
import { rootAt } from '../spell';
import { type EditState, READINGS, type Reading } from '../state';
import { freshIds, replaceNotes, writeNotes } from '../write';

const NUMBERS = ['1', '2', '3', '4', '5', '6', '7'] as const;

/** How digits are read, in a player's words. */
export const READING_NAMES: Readonly<Record<Reading, string>> = {
  fret: 'frets',
  degree: 'degrees',
  finger: 'fingers',
};

/** How the next digits are read. */
export const setReading = defineCommand<Reading>({
  id: 'write.reading',
  group: 'Writing notes',
  title: 'Read digits as',
  words: 'mode entry fret degree finger',
  ask: {
    kind: 'choice',
    choices: READINGS.map((value) => ({ value, title: READING_NAMES[value] })),
  },
  apply: (s, reading) => done(withReading(s, reading), `digits are ${READING_NAMES[reading]}`),
});

/** The next way of reading digits. */
export const nextReading = defineCommand<undefined>({
  id: 'write.next-reading',
  group: 'Writing notes',
  title: 'Read digits the next way: frets, degrees, fingers',
  words: 'mode entry',
  ask: { kind: 'nothing' },
  keys: [{ key: 'f', value: undefined }],
  apply: (s) => {
    const next = READINGS[(READINGS.indexOf(s.pen.reading) + 1) % READINGS.length]!;
    return done(withReading(s, next), `digits are ${READING_NAMES[next]}`);
  },
});

function withReading(s: EditState, reading: Reading): EditState {
  return {
    ...s,
    pen: { ...s.pen, reading, alter: 0 },
    selection: { ...s.selection, typed: '' },
  };
}

/** A degree against the chord at the cursor, without a chord against the key; the cursor goes on. */
export const typeDegree = defineCommand<(typeof NUMBERS)[number]>({
  id: 'write.degree-number',
  group: 'Writing notes',
  title: 'Write degree',
  words: 'root third fifth seventh',
  ask: {
    kind: 'choice',
    choices: NUMBERS.map((n) => ({ value: n, title: n === '1' ? 'R, the root' : n })),
  },
  keys: [
    ...NUMBERS.map((n) => ({ key: n, value: n, reading: ['degree'] as const })),
    { key: 'r', value: '1', reading: ['degree'] },
    { key: 'R', value: '1', reading: ['degree'] },
  ],
  apply: (s, text) => {
    const bare = parseDegree(text);
    return bare === null
      ? cannot(`${text} is no degree`)
      : writeDegree(s, degree(bare.number, s.pen.alter));
  },
});

/** A degree in letters: `b7`, `#4`, `R`. */
export const namedDegree = defineCommand<string>({
  id: 'write.degree',
  group: 'Writing notes',
  title: 'Write a degree by its name',
  words: 'flat sharp root third seventh',
  ask: { kind: 'text', label: 'the degree', example: 'b7' },
  apply: (s, text) => {
    const d = parseDegree(text);
    return d === null
      ? cannot('it is no degree: write R, b3, 3, #4, b7 and so on')
      : writeDegree(s, d);
  },
});

/** A flat or sharp for the degree that is typed next. */
export const alterNext = defineCommand<'flat' | 'sharp'>({
  id: 'write.alter',
  group: 'Writing notes',
  title: 'Make the next degree',
  words: 'accidental flat sharp',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'flat', title: 'flat' },
      { value: 'sharp', title: 'sharp' },
    ],
  },
  keys: [
    { key: 'b', value: 'flat', reading: ['degree'] },
    { key: '-', value: 'flat', reading: ['degree'] },
    { key: '#', value: 'sharp', reading: ['degree'] },
    { key: '+', value: 'sharp', reading: ['degree'] },
  ],
  apply: (s, way) => {
    const alter = s.pen.alter + (way === 'flat' ? -1 : 1);
    if (!isAlter(alter)) return cannot('a degree is altered twice at most');
    return done({ ...s, pen: { ...s.pen, alter } }, alter === 0 ? 'natural' : way);
  },
});

/** One more degree at the moment of the note just written: the next string makes a double stop. */
export const together = defineCommand<undefined>({
  id: 'write.together',
  group: 'Writing notes',
  title: 'Write the next note together with the last',
  words: 'double stop chord same moment stack',
  ask: { kind: 'nothing' },
  keys: [{ key: '*', value: undefined }],
  apply: (s) => {
    const { cursor, fresh } = s.selection;
    const events = voiceOf(s).events;
    const event =
      events.find((e) => e.notes.some((n) => fresh.includes(n.id))) ??
      events.filter((e) => e.onset <= cursor.onset).at(-1);
    if (event === undefined) return cannot('there is no note to write it together with');
    const strings = event.notes.map((n) => n.string);
    const highest = Math.min(...strings);
    const lowest = Math.max(...strings);
    const string = highest > 1 ? highest - 1 : lowest + 1;
    if (string > s.phrase.instrument.tuning.length) return cannot('every string is taken');
    return done({
      ...s,
      selection: {
        ...s.selection,
        cursor: { onset: event.onset, string },
        corner: null,
        fresh: [],
        typed: '',
      },
    });
  },
});

/** The same note in another octave that the neck has. */
export const otherOctave = defineCommand<undefined>({
  id: 'note.other-octave',
  group: 'Moving what is chosen',
  title: 'Put the note into the next octave',
  words: 'higher lower 8va',
  ask: { kind: 'nothing' },
  keys: [{ key: 'o', value: undefined }],
  apply: (s) => {
    const at = onePitched(s);
    if (at === null) return cannot('one note must be chosen');
    if (at.bend !== undefined || at.trill !== undefined || at.harmonic !== undefined) {
      return cannot('the note carries a bend, trill or harmonic: move it by an octave instead');
    }
    const all: Pitch[] = [];
    for (let octave = 0; octave <= 8; octave++) all.push({ ...at.pitch, octave });
    const fitting = all.filter((p) => placesAround(s, at, midiOf(p)).length > 0);
    const index = fitting.findIndex((p) => p.octave === at.pitch.octave);
    const next = fitting[(index + 1) % fitting.length];
    if (next === undefined || next.octave === at.pitch.octave) {
      return cannot('the neck has it in this octave only');
    }
    const place = placesAround(s, at, midiOf(next))[0]!;
    return done(
      replaceNotes(s, (n) => ({ ...n, ...place, pitch: next }) as Note, new Set([at.id])),
      `octave ${next.octave}`,
    );
  },
});

/** The same pitch on another string. */
export const otherString = defineCommand<undefined>({
  id: 'note.other-string',
  group: 'Moving what is chosen',
  title: 'Play the note on the next string that has it',
  words: 'position same pitch elsewhere',
  ask: { kind: 'nothing' },
  keys: [{ key: 'z', value: undefined }],
  apply: (s) => {
    const at = onePitched(s);
    if (at === null) return cannot('one note must be chosen');
    if (at.harmonic?.kind === 'natural') return cannot('a natural harmonic belongs to its string');
    const midi = placeMidi(s.phrase.instrument, at);
    const places = [...placesAround(s, at, midi), at].sort((a, b) => a.string - b.string);
    const here = places.findIndex((p) => p.string === at.string);
    const next = places[(here + 1) % places.length]!;
    if (next.string === at.string) return cannot('no other string that is free has this pitch');
    const moved = replaceNotes(
      s,
      (n) => ({ ...n, string: next.string, fret: next.fret }),
      new Set([at.id]),
    );
    const { cursor } = s.selection;
    const followed = cursor.string === at.string ? { ...cursor, string: next.string } : cursor;
    return done(
      { ...moved, selection: { ...moved.selection, cursor: followed } },
      `fret ${next.fret} on string ${next.string}`,
    );
  },
});

/** The chosen note where exactly one with pitch is chosen. */
function onePitched(s: EditState): PitchedNote | null {
  const [one, ...more] = chosenNotes(s);
  return one !== undefined && more.length === 0 && one.note.kind === 'pitched' ? one.note : null;
}

/** Other places for a note, on strings that nothing else of its moment is on. */
function placesAround(s: EditState, note: PitchedNote, midi: Midi) {
  const event = voiceOf(s).events.find((e) => e.notes.some((n) => n.id === note.id));
  const others = new Set(event?.notes.filter((n) => n.id !== note.id).map((n) => n.string));
  const at = {
    ...s,
    selection: { ...s.selection, cursor: { ...s.selection.cursor, onset: event?.onset ?? 0 } },
  };
  const same = midi === midiOf(note.pitch);
  return placesFor(at, midi).filter(
    (p) => !others.has(p.string) && !(same && p.string === note.string),
  );
}

/**
 * Writes a degree: in the octave nearest to what was heard last in the voice, of two as near the
 * higher one; before anything was played, nearest to the middle of the hand. On the handiest string.
 */
export function writeDegree(s: EditState, d: Degree): Outcome {
  const { root, chord } = rootAt(s.phrase, s.selection.cursor.onset);
  const near = degreeNearMidi(root, d, contextMidi(s));
  if (near === null) return cannot('it would need more than a double accidental');
  const named = [near, { ...near, octave: near.octave + 1 }, { ...near, octave: near.octave - 1 }];
  for (const pitch of named) {
    const place = choosePlace(s, midiOf(pitch));
    if (place === null) continue;
    const [id] = freshIds(s, 1);
    const note: PitchedNote = { kind: 'pitched', id: id!, pitch, ...place };
    const over = chord === null ? 'of the key' : 'of the chord';
    return writeNotes(
      s,
      [note],
      'on',
      `${degreeSign(d)} ${over}: fret ${place.fret} on string ${place.string}`,
    );
  }
  return cannot('the instrument does not have it near here');
}

/** What a degree is nearest to: the note heard last, else the hand on a middle string. */
function contextMidi(s: EditState): Midi {
  const here = voiceOf(s).events.find((e) => e.onset === s.selection.cursor.onset)?.notes[0];
  const last = here ?? lastNote(s);
  if (last !== null && last !== undefined && last.kind === 'pitched')
    return midiOf(heardPitch(last));
  return openMidi(s.phrase.instrument, s.selection.cursor.string) + s.pen.hand + 1;
}

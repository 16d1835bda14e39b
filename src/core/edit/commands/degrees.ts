import { openMidi } from '../../phrase/instrument';
import type { PhraseEvent, PitchedNote } from '../../phrase/types';
import { heardPitch } from '../../phrase/walk';
import { type Degree, degree, degreeNearMidi, degreeSign, parseDegree } from '../../theory/degree';
import { isAlter, type Midi, midiOf } from '../../theory/pitch';
import { rootAt } from '../../understand/spell';
import { nextOf } from '../change';
import { choosePlace, lastNote } from '../choose-place';
import { defineCommand } from '../command';
import { cannot, done, type Outcome } from '../outcome';
import { sameData } from '../same';
import { moveCursor, voiceOf } from '../select';
import { type EditState, READINGS, type Reading } from '../state';
import { freshIds, writeNotes } from '../write';

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
  apply: (s, reading) => {
    const next = withReading(s, reading);
    const name = READING_NAMES[reading];
    return sameData(next, s)
      ? cannot(`digits are ${name} already`)
      : done(next, `digits are ${name}`);
  },
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

/**
 * One more note at the moment of the note just written: the next higher string that is free makes a
 * double stop. Again goes on to the other free strings: higher ones, lower ones, then those between.
 */
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
    const free = freeStrings(s, event);
    const [first] = free;
    if (first === undefined) return cannot('every string is taken');
    const here =
      cursor.onset === event.onset && fresh.length === 0 ? free.indexOf(cursor.string) : -1;
    if (here >= 0 && free.length === 1) {
      return cannot('the cursor is on the only free string already');
    }
    const string = here < 0 ? first : nextOf(free, cursor.string);
    return done(moveCursor(s, { onset: event.onset, string }));
  },
});

/** Strings nothing of an event is on: the higher ones from it outwards, the lower ones, those between. */
function freeStrings(s: EditState, event: PhraseEvent): readonly number[] {
  const taken = event.notes.map((n) => n.string);
  const highest = Math.min(...taken);
  const lowest = Math.max(...taken);
  const all = s.phrase.instrument.tuning.map((_, i) => i + 1);
  return [
    ...all.filter((n) => n < highest).reverse(),
    ...all.filter((n) => n > lowest),
    ...all.filter((n) => n > highest && n < lowest && !taken.includes(n)),
  ];
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

import { KINDS, type KindName, pitchesOf } from '../../phrase/instruments';
import type { Instrument } from '../../phrase/types';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { sameData } from '../same';
import type { EditState } from '../state';
import { withInstrument } from './instrument';

/** Another instrument, the music as it was: pitches stay, and every note looks for its place. */
export const playOn = defineCommand<KindName>({
  id: 'neck.instrument',
  group: 'Instrument',
  title: 'Keep the pitches and play it on',
  words: 'strings seven four five bass ukulele guitar kind',
  ask: {
    kind: 'choice',
    choices: (Object.keys(KINDS) as KindName[]).map((n) => ({ value: n, title: KINDS[n].title })),
  },
  apply: (s, which) => {
    const { title, notes, ...rest } = KINDS[which];
    const tuning = pitchesOf(notes);
    if (typeof tuning === 'string') return cannot(tuning);
    const instrument: Instrument = { ...rest, tuning, capo: 0 };
    if (sameData(instrument, s.phrase.instrument))
      return cannot(`it is played on ${title} already`);
    return withInstrument(s, instrument, 'pitches', `on ${title}`);
  },
});

/** How long a string sounds from nut to bridge; how far the hand reaches is judged by it (N1). */
export const setScale = defineCommand<number>({
  id: 'neck.scale',
  group: 'Instrument',
  title: 'Say how long its open strings are, in millimetres',
  words: 'scale length mensur nut bridge reach',
  ask: { kind: 'number', label: 'the scale length', least: 100, most: 2_000, step: 1, unit: 'mm' },
  apply: (s, scaleLength) =>
    changed(
      s,
      { scaleLength },
      `strings of ${scaleLength} millimetres`,
      'they are so long already',
    ),
});

const CLEFS = [
  { value: 'treble-8', title: 'the treble clef, sounding an octave lower' },
  { value: 'treble', title: 'the treble clef, as it sounds' },
  { value: 'bass-8', title: 'the bass clef, sounding an octave lower' },
] as const;

/** The clef of the staff; what sounds stays (P3). */
export const setClef = defineCommand<Instrument['clef']>({
  id: 'neck.clef',
  group: 'Instrument',
  title: 'Write the staff in',
  words: 'clef treble bass octave',
  ask: { kind: 'choice', choices: CLEFS },
  now: (s) => s.phrase.instrument.clef,
  apply: (s, clef) => {
    const { title } = CLEFS.find((c) => c.value === clef)!;
    return changed(s, { clef }, title, `it is written in ${title} already`);
  },
});

/** Most letters of a name, as in the stored form. */
const LONGEST_NAME = 200;

/** What the instrument is called on the page. */
export const setName = defineCommand<string>({
  id: 'neck.name',
  group: 'Instrument',
  title: 'Call the instrument',
  words: 'name label part',
  ask: { kind: 'text', label: 'the name', example: 'Electric guitar' },
  apply: (s, text) => {
    const name = text.trim();
    if (name === '') return cannot('a name has a letter at least');
    if (name.length > LONGEST_NAME) return cannot(`a name is ${LONGEST_NAME} letters at most`);
    return changed(s, { name }, name, 'it is called so already');
  },
});

function changed(s: EditState, part: Partial<Instrument>, say: string, already: string) {
  const instrument = { ...s.phrase.instrument, ...part };
  if (sameData(instrument, s.phrase.instrument)) return cannot(already);
  return done({ ...s, phrase: { ...s.phrase, instrument } }, say);
}

import type { Instrument } from '../../phrase/types';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { sameData } from '../same';
import type { EditState } from '../state';
import { withInstrument } from './instrument';
import { pitchesOf } from './tunings';

interface Kind extends Omit<Instrument, 'tuning' | 'capo'> {
  /** Completes 'Play it on'. */
  readonly title: string;
  /** Open strings, the first string first. */
  readonly notes: string;
}

/**
 * Instruments with their usual tunings, first string first, scale lengths in millimetres, frets and
 * clefs (common practice): the low string of seven is a B, that of a five-string bass too; a bass
 * has 34 inches, a concert ukulele 15 and its fourth string above the third.
 */
export const KINDS = {
  guitar: kind('a guitar', 'Guitar', 'E4 B3 G3 D3 A2 E2', 22, 648, 'treble-8'),
  guitar7: kind(
    'a guitar with seven strings',
    'Guitar with seven strings',
    'E4 B3 G3 D3 A2 E2 B1',
    24,
    648,
    'treble-8',
  ),
  bass4: kind('a bass with four strings', 'Bass', 'G2 D2 A1 E1', 20, 864, 'bass-8'),
  bass5: kind(
    'a bass with five strings',
    'Bass with five strings',
    'G2 D2 A1 E1 B0',
    22,
    864,
    'bass-8',
  ),
  ukulele: kind('a ukulele', 'Ukulele', 'A4 E4 C4 G4', 18, 381, 'treble'),
} as const;
type KindName = keyof typeof KINDS;

function kind(
  title: string,
  name: string,
  notes: string,
  frets: number,
  scaleLength: number,
  clef: Instrument['clef'],
): Kind {
  return { title, name, notes, frets, scaleLength, clef };
}

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
  ask: { kind: 'number', label: 'the scale length', least: 100, most: 2_000, step: 1 },
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

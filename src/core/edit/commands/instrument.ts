import { openMidi } from '../../phrase/instrument';
import { mapEvents, mapGraceNotes } from '../../phrase/rebuild';
import type { Instrument, Note, Phrase } from '../../phrase/types';
import { mapNotes } from '../../phrase/walk';
import { midiOf, type Pitch, parsePitch } from '../../theory/pitch';
import { spellAt } from '../../understand/spell';
import { defineCommand } from '../command';
import { cannot, done, type Outcome } from '../outcome';
import { placeAgain, restrungWords } from '../place-again';
import { sameData } from '../same';
import type { EditState } from '../state';

/** Well-known tunings, the first string first (common practice). */
export const TUNINGS = {
  standard: { title: 'standard', notes: 'E4 B3 G3 D3 A2 E2' },
  dropD: { title: 'drop D', notes: 'E4 B3 G3 D3 A2 D2' },
  halfDown: { title: 'half a step down', notes: 'Eb4 Bb3 Gb3 Db3 Ab2 Eb2' },
  wholeDown: { title: 'a whole step down', notes: 'D4 A3 F3 C3 G2 D2' },
  openG: { title: 'open G', notes: 'D4 B3 G3 D3 G2 D2' },
  openD: { title: 'open D', notes: 'D4 A3 F#3 D3 A2 D2' },
  openE: { title: 'open E', notes: 'E4 B3 G#3 E3 B2 E2' },
  openA: { title: 'open A', notes: 'E4 C#4 A3 E3 A2 E2' },
  dadgad: { title: 'D A D G A D', notes: 'D4 A3 G3 D3 A2 D2' },
} as const;
type TuningName = keyof typeof TUNINGS;

/** Pitches by their names; the reason where one of them is none. */
export function pitchesOf(notes: string): readonly Pitch[] | string {
  const pitches: Pitch[] = [];
  for (const word of notes.trim().split(/[\s,]+/u)) {
    const pitch = parsePitch(word);
    if (!pitch.ok) return pitch.problems[0]!.message;
    pitches.push(pitch.value);
  }
  return pitches;
}

const NAMES = Object.keys(TUNINGS) as readonly TuningName[];

/** Another tuning, the hand as it was: frets stay, and what sounds changes. */
export const tuneKeepingFrets = defineCommand<TuningName>({
  id: 'neck.tune-frets',
  group: 'Instrument',
  title: 'Keep the frets and tune it to',
  words: 'tuning open drop strings',
  ask: { kind: 'choice', choices: NAMES.map((n) => ({ value: n, title: TUNINGS[n].title })) },
  apply: (s, name) => retune(s, TUNINGS[name].notes, 'frets'),
});

/** Another tuning, the music as it was: pitches stay, and frets change. */
export const tuneKeepingPitches = defineCommand<TuningName>({
  id: 'neck.tune-pitches',
  group: 'Instrument',
  title: 'Keep the pitches and tune it to',
  words: 'tuning open drop strings',
  ask: { kind: 'choice', choices: NAMES.map((n) => ({ value: n, title: TUNINGS[n].title })) },
  apply: (s, name) => retune(s, TUNINGS[name].notes, 'pitches'),
});

/** Most strings of an instrument, as in the stored form. */
const MOST_STRINGS = 12;

/** A tuning by its notes, of any number of strings. */
export const tuneTo = defineCommand<string>({
  id: 'neck.tune-to',
  group: 'Instrument',
  title: 'Keep the pitches and tune it, first string first, to',
  words: 'tuning notes strings custom',
  ask: { kind: 'text', label: 'the tuning', example: 'E4 B3 G3 D3 A2 D2' },
  apply: (s, notes) => {
    const tuning = pitchesOf(notes);
    if (typeof tuning === 'string') return cannot(tuning);
    if (tuning.length > MOST_STRINGS) {
      return cannot(`an instrument has ${MOST_STRINGS} strings at most`);
    }
    return withTuning(s, tuning, 'pitches');
  },
});

function retune(s: EditState, notes: string, keep: 'frets' | 'pitches'): Outcome {
  const tuning = pitchesOf(notes);
  if (typeof tuning === 'string') return cannot(tuning);
  const { instrument } = s.phrase;
  if (tuning.length !== instrument.tuning.length) {
    return cannot(
      `the instrument has ${instrument.tuning.length} strings, and these are ${tuning.length}`,
    );
  }
  return withTuning(s, tuning, keep);
}

function withTuning(s: EditState, tuning: readonly Pitch[], keep: 'frets' | 'pitches'): Outcome {
  const { instrument } = s.phrase;
  const sound = (pitches: readonly Pitch[]) => pitches.map(midiOf);
  if (sameData(sound(tuning), sound(instrument.tuning))) return cannot('it is tuned so already');
  return withInstrument(s, { ...instrument, tuning }, keep, 'tuned');
}

/** The capo, the hand as it was: the shapes stay, and everything sounds higher or lower. */
export const capoKeepingFrets = defineCommand<number>({
  id: 'neck.capo-frets',
  group: 'Instrument',
  title: 'Keep the shapes and put the capo at fret (0: none)',
  words: 'capo',
  ask: { kind: 'number', label: 'the capo', least: 0, most: 12, step: 1 },
  apply: (s, capo) => withCapo(s, capo, 'frets'),
});

/** The capo, the music as it was: frets are counted from the capo. */
export const capoKeepingPitches = defineCommand<number>({
  id: 'neck.capo-pitches',
  group: 'Instrument',
  title: 'Keep the pitches and put the capo at fret (0: none)',
  words: 'capo',
  ask: { kind: 'number', label: 'the capo', least: 0, most: 12, step: 1 },
  apply: (s, capo) => withCapo(s, capo, 'pitches'),
});

function withCapo(s: EditState, capo: number, keep: 'frets' | 'pitches'): Outcome {
  if (capo === s.phrase.instrument.capo) return cannot('the capo is there already');
  const next = { ...s.phrase.instrument, capo };
  return withInstrument(s, next, keep, capo === 0 ? 'capo taken off' : `capo at fret ${capo}`);
}

/** How many frets the neck has. */
export const setFrets = defineCommand<number>({
  id: 'neck.frets',
  group: 'Instrument',
  title: 'Say how many frets the neck has',
  words: 'neck length frets',
  ask: { kind: 'number', label: 'the number of frets', least: 12, most: 36, step: 1 },
  apply: (s, frets) =>
    frets === s.phrase.instrument.frets
      ? cannot('it has so many already')
      : done(
          { ...s, phrase: { ...s.phrase, instrument: { ...s.phrase.instrument, frets } } },
          `${frets} frets`,
        ),
});

/** The phrase on another instrument with its frets or its pitches kept, where that can be. */
export function withInstrument(
  s: EditState,
  instrument: Instrument,
  keep: 'frets' | 'pitches',
  say: string,
): Outcome {
  if (keep === 'frets') return done({ ...s, phrase: keepFrets(s.phrase, instrument) }, say);
  const placed = placeAgain(s.phrase, instrument);
  return placed.ok
    ? done({ ...s, phrase: placed.phrase }, say + restrungWords(placed.restrung))
    : cannot(placed.because);
}

/** The same places; bends, trills and graces keep their width. */
function keepFrets(p: Phrase, instrument: Instrument): Phrase {
  const moved = mapNotes(p, ({ note, onset }): Note => {
    if (note.kind === 'dead') return note;
    const by = openMidi(instrument, note.string) - openMidi(p.instrument, note.string);
    if (by === 0) return note;
    const up = (pitch: Pitch) => spellAt(p, onset, midiOf(pitch) + by);
    const { bend, trill } = note;
    return {
      ...note,
      pitch: up(note.pitch),
      ...(bend === undefined || bend.shape === 'curl'
        ? {}
        : { bend: { ...bend, target: up(bend.target) } }),
      ...(trill === undefined ? {} : { trill: { upper: up(trill.upper) } }),
    };
  });
  const graced = mapEvents(moved, (e) =>
    mapGraceNotes(e, (n) => ({
      ...n,
      pitch: spellAt(p, e.onset, openMidi(instrument, n.string) + n.fret),
    })),
  );
  return { ...graced, instrument };
}

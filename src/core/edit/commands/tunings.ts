import { MOST_STRINGS, pitchesOf, TUNINGS, type TuningName } from '../../phrase/instruments';
import { typedTuning } from '../../phrase/typed-tuning';
import { midiOf, type Pitch, pitchClassSign } from '../../theory/pitch';
import { defineCommand } from '../command';
import { cannot, type Outcome } from '../outcome';
import { sameData } from '../same';
import type { EditState } from '../state';
import { type Keeping, withInstrument } from './instrument';

const NAMES = Object.keys(TUNINGS) as readonly TuningName[];

/** The well-known tuning that the strings have; undefined for another. */
export function tuningNow({ phrase }: EditState): TuningName | undefined {
  return NAMES.find((n) => {
    const tuning = pitchesOf(TUNINGS[n].notes);
    return typeof tuning !== 'string' && soundsAs(tuning, phrase.instrument.tuning);
  });
}

function tuneKeeping(keep: Keeping, id: string, title: string, words: string) {
  return defineCommand<TuningName>({
    id,
    group: 'Instrument',
    title,
    words,
    ask: { kind: 'choice', choices: NAMES.map((n) => ({ value: n, title: TUNINGS[n].title })) },
    now: tuningNow,
    apply: (s, name) => {
      const tuning = pitchesOf(TUNINGS[name].notes);
      return typeof tuning === 'string' ? cannot(tuning) : retune(s, tuning, keep);
    },
  });
}

/** Another tuning, the music as it was: pitches stay, and frets change. */
export const tuneKeepingPitches = tuneKeeping(
  'pitches',
  'neck.tune-pitches',
  'Keep the pitches and tune it to',
  'tuning open drop strings',
);

/** Another tuning, the hand as it was: frets stay, and what sounds changes. */
export const tuneKeepingFrets = tuneKeeping(
  'frets',
  'neck.tune-frets',
  'Keep the frets, key and chords, and tune it to',
  'tuning open drop strings',
);

/** All strings tuned alike up or down: frets stay, and key and chords are named as they sound. */
export const tuneKeepingShapes = tuneKeeping(
  'shapes',
  'neck.tune-shapes',
  'Keep the frets, take key and chords along, and tune it to',
  'tuning down shapes transpose key',
);

function tuneToNotes(keep: Keeping, id: string, title: string) {
  return defineCommand<string>({
    id,
    group: 'Instrument',
    title,
    words: 'tuning notes strings custom',
    ask: {
      kind: 'text',
      label: 'the tuning',
      example: keep === 'shapes' ? 'D G C F A D' : 'D A D G B E',
    },
    apply: (s, notes) => {
      const tuning = typedTuning(notes, s.phrase.instrument.tuning);
      if (typeof tuning === 'string') return cannot(tuning);
      if (tuning.length > MOST_STRINGS) {
        return cannot(`an instrument has ${MOST_STRINGS} strings at most`);
      }
      return keep === 'pitches' ? withTuning(s, tuning, keep) : retune(s, tuning, keep);
    },
  });
}

/** A tuning by its notes, of any number of strings; pitches stay. */
export const tuneTo = tuneToNotes(
  'pitches',
  'neck.tune-to',
  'Keep the pitches and tune it by its strings to',
);

/** A tuning by its notes; frets stay, and what sounds changes. */
export const tuneToFrets = tuneToNotes(
  'frets',
  'neck.tune-to-frets',
  'Keep the frets, key and chords, and tune it by its strings to',
);

/** A tuning by its notes; frets stay, and key and chords move along. */
export const tuneToShapes = tuneToNotes(
  'shapes',
  'neck.tune-to-shapes',
  'Keep the frets, take key and chords along, and tune it by its strings to',
);

function retune(s: EditState, tuning: readonly Pitch[], keep: Keeping): Outcome {
  const { instrument } = s.phrase;
  if (tuning.length !== instrument.tuning.length) {
    return cannot(
      `the instrument has ${instrument.tuning.length} strings, and these are ${tuning.length}`,
    );
  }
  return withTuning(s, tuning, keep);
}

function withTuning(s: EditState, tuning: readonly Pitch[], keep: Keeping): Outcome {
  const { instrument } = s.phrase;
  if (soundsAs(tuning, instrument.tuning)) return cannot('it is tuned so already');
  // As players say it: the lowest string first.
  const strings = tuning.map(pitchClassSign).reverse().join(' ');
  return withInstrument(s, { ...instrument, tuning }, keep, `tuned to ${strings}`);
}

function soundsAs(a: readonly Pitch[], b: readonly Pitch[]): boolean {
  return sameData(a.map(midiOf), b.map(midiOf));
}

import { fretFor, STANDARD_GUITAR } from '../../../core/phrase/instrument';
import type { Instrument } from '../../../core/phrase/types';
import { type Pitch, parsePitch } from '../../../core/theory/pitch';
import type { ImportLog } from './log';

/** Frets that instruments are built with at most; more than the usual ones only where notes need them. */
const MOST_FRETS = 24;

/** Open strings, string 1 first (common practice). A ukulele holds nothing that a guitar does not. */
const INSTRUMENTS: readonly {
  readonly name: string;
  readonly words: string;
  readonly tuning: string;
  readonly scaleLength: number;
  readonly clef: Instrument['clef'];
}[] = [
  {
    name: 'Guitar',
    words: 'a guitar in standard tuning',
    tuning: 'E4 B3 G3 D3 A2 E2',
    scaleLength: STANDARD_GUITAR.scaleLength,
    clef: 'treble-8',
  },
  {
    name: 'Guitar',
    words: 'a guitar with seven strings, the lowest B1',
    tuning: 'E4 B3 G3 D3 A2 E2 B1',
    scaleLength: STANDARD_GUITAR.scaleLength,
    clef: 'treble-8',
  },
  {
    name: 'Bass guitar',
    words: 'a bass in E1 A1 D2 G2',
    tuning: 'G2 D2 A1 E1',
    scaleLength: 864,
    clef: 'bass-8',
  },
  {
    name: 'Bass guitar',
    words: 'a bass with five strings, the lowest B0',
    tuning: 'G2 D2 A1 E1 B0',
    scaleLength: 864,
    clef: 'bass-8',
  },
];

function holds(i: Instrument, midis: readonly number[]): boolean {
  const most = { ...i, frets: Math.max(i.frets, MOST_FRETS) };
  return midis.every((midi) => i.tuning.some((_, k) => fretFor(most, k + 1, midi) !== null));
}

/**
 * For a part whose file names no tuning: the instrument it was taken for, or, where that does not
 * hold all its pitches, the first of guitar, seven strings and bass that does.
 */
export function suitedInstrument(
  i: Instrument,
  midis: readonly number[],
  log: ImportLog,
): Instrument {
  if (holds(i, midis)) return i;
  const other = others(i).find((o) => holds(o.instrument, midis));
  if (other === undefined) return i;
  log.add('assumed', `not all notes are on the instrument that was assumed first: ${other.words}`);
  return other.instrument;
}

/** Whether any of them holds all pitches, which is quickly told. */
export function someInstrumentHolds(i: Instrument, midis: readonly number[]): boolean {
  return holds(i, midis) || others(i).some((o) => holds(o.instrument, midis));
}

function others(i: Instrument) {
  return INSTRUMENTS.map(({ words, tuning, name, scaleLength, clef }) => ({
    words,
    instrument: {
      ...i,
      name: name === 'Bass guitar' && i.name === 'Guitar' ? name : i.name,
      scaleLength,
      clef,
      tuning: tuning.split(' ').map(pitch),
    },
  }));
}

function pitch(text: string): Pitch {
  const read = parsePitch(text);
  if (!read.ok) throw new RangeError(text);
  return read.value;
}

import { FASTEST, SLOWEST } from '../../core/edit/tempo-for';
import { parseLane } from '../../core/move/lane';
import { STANDARD_GUITAR } from '../../core/phrase/instrument';
import { instrumentFrom, KINDS, readInstrument, TUNINGS } from '../../core/phrase/instruments';
import { isCompound } from '../../core/phrase/time';
import type { Instrument, Meter } from '../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { shortened } from '../../core/shortened';
import { type Key, parseKey } from '../../core/theory/key';
import type { CatchSaid, CaughtTake } from './messages';
import { isOneReading, type ReadAs } from './tempo-readings';

/** Metres that can be said of a recording. */
export const METERS: Readonly<Record<string, Meter>> = {
  '4/4': { beats: 4, beatType: 4 },
  '3/4': { beats: 3, beatType: 4 },
  '2/4': { beats: 2, beatType: 4 },
  '5/4': { beats: 5, beatType: 4 },
  '6/8': { beats: 6, beatType: 8 },
  '9/8': { beats: 9, beatType: 8 },
  '12/8': { beats: 12, beatType: 8 },
};
export const USUAL_METER = '4/4';
/** What is in three where nobody has said how long its bars are. */
const METER_IN_THREE = '12/8';

/** What it can have been played on, by what is written for it. */
export const PLAYED_ON: Readonly<Record<string, Instrument>> = Object.fromEntries(
  [
    ...Object.keys(KINDS).map((kind) => [KINDS[kind as keyof typeof KINDS].name, kind]),
    ...Object.entries(TUNINGS)
      .filter(([name]) => name !== 'standard')
      .map(([name, { title }]) => [`Guitar, ${title}`, name]),
  ].map(([words, text]) => {
    const wish = readInstrument(text!);
    if (!wish.ok) throw new Error(`'${text}' is no instrument`);
    return [words!, instrumentFrom(STANDARD_GUITAR, wish.value)];
  }),
);
export const USUAL_INSTRUMENT = KINDS.guitar.name;

/** What it was played on. */
export const instrumentOf = ({ instrument = USUAL_INSTRUMENT }: CatchSaid): Instrument =>
  PLAYED_ON[instrument] ?? STANDARD_GUITAR;

/** What stands in the fields in which that is said. */
export interface Fields {
  /** One of `PLAYED_ON`. */
  readonly instrument: string;
  readonly tempo: string;
  readonly meter: string;
  readonly lane: string;
  readonly key: string;
  /** Keys of unsure rhythms that are written as the second-best one. */
  readonly otherwise: readonly number[];
}

/**
 * What of it is understood. A tempo that is none is to be found, a key that is none guessed, and what are no chords is left
 * out: whoever keeps what was played loses nothing to a slip in a field.
 */
export function saidOf(fields: Fields): CatchSaid {
  const { instrument, tempo, meter, lane, key, otherwise } = fields;
  const known = tempo.trim() !== '' && isTempo(tempo);
  return {
    lane: laneProblem(fields) === null ? lane.trim() : '',
    key: readKey(key).ok ? key.trim() : '',
    ...(known ? { bpm: Number(tempo) } : {}),
    ...(meter === USUAL_METER ? {} : { meter: METERS[meter]! }),
    ...(instrument === USUAL_INSTRUMENT ? {} : { instrument }),
    ...(otherwise.length === 0 ? {} : { otherwise }),
  };
}

/** What stands in the fields when this has been said. */
export const fieldsOf = ({
  instrument,
  bpm,
  meter,
  lane,
  key,
  otherwise = [],
}: CatchSaid): Fields => ({
  instrument: instrument ?? USUAL_INSTRUMENT,
  tempo: bpm === undefined ? '' : String(bpm),
  meter: meter === undefined ? USUAL_METER : `${meter.beats}/${meter.beatType}`,
  lane,
  key,
  otherwise,
});

/** The fields in which a recording is read in another tempo. */
export function readAs({ meter }: Fields, { bpm, threes, found }: ReadAs): Partial<Fields> {
  const fits = isCompound(METERS[meter]!) === threes;
  return {
    tempo: found ? '' : String(bpm),
    meter: fits ? meter : threes ? METER_IN_THREE : USUAL_METER,
  };
}

/**
 * Of rhythms that were chosen those that still are. They belong to the tempo and the metre in which they were: read in
 * others, all of it is asked about again.
 * @param take As it was written last.
 */
export function stillChosen(
  { tempo, meter, otherwise }: Fields,
  take: Pick<CaughtTake, 'bpm' | 'bpmFound' | 'meter'>,
): readonly number[] {
  const found = tempo.trim() === '';
  // Another one may be found where one was told before.
  const bpm = found && !take.bpmFound ? Number.NaN : found ? take.bpm : Number(tempo);
  return isOneReading({ bpm, meter: METERS[meter]! }, take) ? otherwise : [];
}

/** Beats a minute; nothing written means that it is to be found. */
export function isTempo(text: string): boolean {
  const bpm = Number(text);
  return text.trim() === '' || (bpm >= SLOWEST && bpm <= FASTEST);
}

/** The key that is said; null where none is, and it is to be guessed. */
export function readKey(text: string): Result<Key | null> {
  const said = text.trim();
  const key = said === '' ? null : parseKey(said);
  if (said === '' || key !== null) return ok(key);
  return fail({
    message: `'${shortened(said)}' is no key`,
    fix: 'Write for example A, F#m or Bb blues.',
  });
}

/** Any key will do to see whether chords can be read. */
const C: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' };

/** What is wrong with the chords; null where they can be read, or none are said. */
export function laneProblem({ lane, key }: Pick<Fields, 'lane' | 'key'>): Problem | null {
  if (lane.trim() === '') return null;
  const of = readKey(key);
  const parsed = parseLane(lane, (of.ok ? of.value : null) ?? C);
  return parsed.ok ? null : parsed.problems[0]!;
}

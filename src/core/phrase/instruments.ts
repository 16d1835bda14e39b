import { fail, ok, type Result } from '../result';
import { type Pitch, parsePitch } from '../theory/pitch';
import { typedTuning } from './typed-tuning';
import type { Instrument } from './types';

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
export type TuningName = keyof typeof TUNINGS;

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
export type KindName = keyof typeof KINDS;

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

/** What a person says of another instrument or tuning: what is not said stays as it is. */
export interface InstrumentWish {
  readonly tuning: readonly Pitch[];
  /** Of another kind of instrument; null keeps neck, clef and name. */
  readonly body: Omit<Instrument, 'tuning' | 'capo'> | null;
  /** Fret of the capo; null where none is named. */
  readonly capo: number | null;
}

/**
 * An instrument by name (`ukulele`), a tuning by name (`drop D`, `dropD`) or by its open strings from
 * the first on (`E4 B3 G3 D3 A2 D2`) or by six names from the lowest up (`D A D G B E`), with `capo 2`
 * behind it or not.
 */
export function readInstrument(text: string): Result<InstrumentWish> {
  const m = /^(.*?)(?:[\s,]+capo\s*(\d{1,2}))?$/iu.exec(text.trim());
  const named = m?.[1] ?? '';
  const capo = m?.[2] === undefined ? null : Number(m[2]);
  const plain = (s: string) => s.toLowerCase().replace(/[\s-]+/gu, '');
  const kind = Object.entries(KINDS).find(
    ([name, k]) => plain(name) === plain(named) || plain(k.name) === plain(named),
  )?.[1];
  if (kind !== undefined) {
    const { title: _, notes, ...body } = kind;
    const tuning = pitchesOf(notes);
    if (typeof tuning !== 'string') return ok({ tuning, body, capo: capo ?? 0 });
  }
  const known = Object.entries(TUNINGS).find(
    ([name, { title }]) => plain(name) === plain(named) || plain(title) === plain(named),
  );
  const guitar = pitchesOf(TUNINGS.standard.notes);
  const tuning =
    typeof guitar === 'string' ? guitar : typedTuning(known?.[1].notes ?? named, guitar);
  if (typeof tuning !== 'string' && tuning.length > 1 && tuning.length <= MOST_STRINGS) {
    return ok({ tuning, body: null, capo });
  }
  return fail({
    message: `there is no instrument or tuning '${named}'`,
    fix: `Use ${[...Object.keys(KINDS), ...Object.keys(TUNINGS)].join(', ')}, or write the strings from the first on, as in "E4 B3 G3 D3 A2 D2", or the six of a guitar from the lowest up, as in "D A D G B E".`,
  });
}

/** The instrument that is wished for, seen from the one there is. */
export function instrumentFrom(now: Instrument, wish: InstrumentWish): Instrument {
  const { name, ...neck } = now;
  const body = wish.body ?? { name, ...neck };
  return { ...body, tuning: wish.tuning, capo: wish.capo ?? now.capo };
}

/** Most strings of an instrument, as in the stored form. */
export const MOST_STRINGS = 12;

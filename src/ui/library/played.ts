import { fretFor, playableFrets, STANDARD_GUITAR } from '../../core/phrase/instrument';
import {
  instrumentFrom,
  KINDS,
  type KindName,
  readInstrument,
} from '../../core/phrase/instruments';
import type { Instrument, Place } from '../../core/phrase/types';
import { ok, type Result } from '../../core/result';
import { linesOf } from '../../core/search/define/line';
import { writeQuery } from '../../core/search/query/write';
import { readQuick } from '../../io/quick/read';
import { PLAIN_DEFAULTS } from '../../io/quick/read-head';

/** What is played is no phrase of the library. */
const ORIGIN = { id: 'played', now: '1970-01-01T00:00:00Z' };

/**
 * The rises, in semitones, from note to note of what is played, of each moment the highest heard (M13).
 * @param text Quick text.
 * @param instrument What it is played on.
 * @returns the problems of the text where it cannot be read.
 */
export function risesPlayed(
  text: string,
  instrument: Instrument = STANDARD_GUITAR,
): Result<readonly number[]> {
  const read = readQuick(text, ORIGIN, { ...PLAIN_DEFAULTS, instrument });
  if (!read.ok) return read;
  const tops = (linesOf(read.value)[0] ?? []).flatMap((e) => e.top ?? []);
  return ok(tops.slice(1).map((top, i) => top - tops[i]!));
}

const INTERVALS = /(?<=^|[\s(])intervals:[+\-−\d]*/iu;

/**
 * A question with these rises in it, in place of those that it has: what was played is found in any key.
 * @param rises None takes them out.
 */
export function askedFor(rises: readonly number[], question: string): string {
  const has = INTERVALS.test(question);
  if (rises.length === 0) return has ? question.replace(INTERVALS, '').trim() : question;
  const asked = writeQuery({ query: { kind: 'intervals', semitones: rises }, order: null });
  if (has) return question.replace(INTERVALS, asked);
  const before = question.trim();
  if (before === '') return asked;
  // What stands beside it must hold too, all of it.
  return / or /iu.test(before) ? `(${before}) ${asked}` : `${before} ${asked}`;
}

/** The instruments that can be played on, by what they are called. */
export const NECKS = Object.keys(KINDS) as readonly KindName[];

/** An instrument in its usual tuning. */
export function neckOf(kind: KindName): Instrument {
  const wish = readInstrument(kind);
  return wish.ok ? instrumentFrom(STANDARD_GUITAR, wish.value) : STANDARD_GUITAR;
}

/**
 * Where a pitch is put on a neck: on the string that was struck, where that is told, else as near to a fret
 * as can be, on the higher string where two are as near.
 * @returns null where the neck does not have it.
 */
export function placePlayed(
  { midi, string }: { readonly midi: number; readonly string?: number },
  instrument: Instrument,
  near: number,
): Place | null {
  const most = playableFrets(instrument);
  const places = instrument.tuning.flatMap((_, i): readonly Place[] => {
    const fret = fretFor(instrument, i + 1, midi);
    return fret === null || fret > most ? [] : [{ string: i + 1, fret }];
  });
  const told = places.find((p) => p.string === string);
  if (told !== undefined) return told;
  return places.sort((a, b) => Math.abs(a.fret - near) - Math.abs(b.fret - near))[0] ?? null;
}

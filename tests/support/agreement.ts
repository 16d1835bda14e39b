import { findAreas } from '../../src/core/neck/areas';
import { DEFAULT_LIMITS } from '../../src/core/neck/limits';
import { handAt } from '../../src/core/neck/neighbours';
import type { Fingering, FingeringProblem } from '../../src/core/neck/problem';
import { problemOf } from '../../src/core/neck/problem-of';
import { findFingerings } from '../../src/core/neck/solve';
import { styleOf } from '../../src/core/neck/style-of';
import type { FingeringStyle } from '../../src/core/neck/weights';
import { placeMidi, reachMillimetres, STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';

/** A recording with the strings that a pickup for each string heard. */
export interface Recording {
  readonly kind?: 'comp';
  /** Quarters a minute. */
  readonly tempo?: number;
  readonly notes: readonly {
    readonly string: number;
    readonly fret: number;
    /** Seconds. */
    readonly time: number;
    readonly midi: number;
  }[];
}

export type Chord = Recording['notes'];

/**
 * What was struck together: within 30 ms in a solo, 50 ms in a strum. Moments that no hand reaches
 * as recorded (one string heard on two) are left out.
 */
export function chordsOf(r: Recording): readonly Chord[] {
  const strum = r.kind === 'comp';
  const chords: Recording['notes'][number][][] = [];
  for (const n of [...r.notes].sort((a, b) => a.time - b.time)) {
    const last = chords.at(-1);
    const together = last !== undefined && n.time - last[0]!.time < (strum ? 0.05 : 0.03);
    if (together && !(strum && last.some((x) => x.string === n.string))) last.push(n);
    else chords.push([n]);
  }
  return chords.filter((c) => {
    if (new Set(c.map((n) => n.string)).size < c.length) return false;
    const frets = c.map((n) => n.fret).filter((f) => f > 0);
    const reach = reachMillimetres(STANDARD_GUITAR, Math.min(...frets), Math.max(...frets));
    return frets.length === 0 || reach <= DEFAULT_LIMITS.reach;
  });
}

/** The chords in pieces of four bars of 4/4, counted from the beginning; pieces of under four moments are left out. */
export function fourBarCuts(
  chords: readonly Chord[],
  tempo: number,
): readonly (readonly Chord[])[] {
  const length = (16 * 60) / tempo;
  const cuts = new Map<number, Chord[]>();
  for (const c of chords) {
    const k = Math.floor(c[0]!.time / length);
    const cut = cuts.get(k);
    if (cut === undefined) cuts.set(k, [c]);
    else cut.push(c);
  }
  return [...cuts.values()].filter((c) => c.length > 3);
}

/** How a recorded piece is to be fingered: its pitches, and the strings of the first moments as played. */
export function problemFrom(
  chords: readonly Chord[],
  style: FingeringStyle,
  given = 0,
): FingeringProblem {
  const notes = chords.flatMap((c, i) =>
    c.map((n, k) => ({
      id: `n${i}.${k}`,
      kind: 'stopped' as const,
      midi: placeMidi(STANDARD_GUITAR, n),
      ...(i < given ? { onlyString: n.string } : {}),
    })),
  );
  let next = 0;
  const moments = chords.map((c, i) => ({
    onset: Math.round(c[0]!.time * 20_000),
    seconds: i === 0 ? 0 : c[0]!.time - chords[i - 1]![0]!.time,
    struck: c.map(() => next++),
    held: [],
    ringing: [],
  }));
  return { instrument: STANDARD_GUITAR, limits: DEFAULT_LIMITS, style, notes, moments };
}

function agreed(chords: readonly Chord[], f: Fingering, from = 0): number {
  let n = 0;
  chords.forEach((c, i) => {
    c.forEach((note, k) => {
      if (i >= from && f.places.get(`n${i}.${k}`)!.string === note.string) n++;
    });
  });
  return n;
}

/** Notes where they were played, in the first choice and in the best of three areas. */
export interface Agreement {
  readonly notes: number;
  readonly first: number;
  readonly best: number;
}

/** The hand at the end of a piece as it was played, and when that was. */
function handAfter(piece: readonly Chord[], style: FingeringStyle, until: number) {
  const problem = problemFrom(piece, style, piece.length);
  const f = findFingerings(problem)[0]!;
  const last = piece.length - 1;
  return { ...handAt(problem, f, last), seconds: until - piece[last]![0]!.time };
}

/** As `agreement`, each piece told where the hand was when the piece before it ended. */
export function agreementInTurn(
  pieces: readonly (readonly Chord[])[],
  style: FingeringStyle,
): Agreement {
  const sum = { notes: 0, first: 0, best: 0 };
  pieces.slice(1).forEach((piece, i) => {
    const before = handAfter(pieces[i]!, style, piece[0]![0]!.time);
    const problem = { ...problemFrom(piece, style), before };
    const each = findAreas(problem, { count: 3 }).map((f) => agreed(piece, f));
    sum.notes += piece.flat().length;
    sum.first += each[0]!;
    sum.best += Math.max(...each);
  });
  return sum;
}

/** `given` moments at the beginning of each piece are told to the search and not counted. */
export function agreement(
  pieces: readonly (readonly Chord[])[],
  style: FingeringStyle,
  given = 0,
): Agreement {
  const sum = { notes: 0, first: 0, best: 0 };
  for (const piece of pieces) {
    const found = findAreas(problemFrom(piece, style, given), { style, count: 3 });
    const each = found.map((f) => agreed(piece, f, given));
    sum.notes += piece.slice(given).flat().length;
    sum.first += each[0]!;
    sum.best += Math.max(...each);
  }
  return sum;
}

/** Notes of a phrase that the first choice puts where they are written, dead ones left out. */
export function writtenAgreement(p: Phrase, style = styleOf(p)): Agreement {
  const problem = problemOf(p);
  const all = notesOf(p).filter(({ note }) => note.kind !== 'dead');
  const count = (f: Fingering) =>
    all.filter(({ note }) => {
      const place = f.places.get(note.id)!;
      return place.string === note.string && place.fret === note.fret;
    }).length;
  const found = findAreas(problem, { style, count: 3 }).map(count);
  const [best] = findFingerings(problem, { style });
  return {
    notes: all.length,
    first: best === undefined ? 0 : count(best),
    best: Math.max(0, ...found),
  };
}

/** Wilson's 95% interval (Wilson 1927) for k of n. */
export function wilson(k: number, n: number): readonly [number, number] {
  const z = 1.959964;
  const centre = (k + (z * z) / 2) / (n + z * z);
  const half = (z / (n + z * z)) * Math.sqrt((k * (n - k)) / n + (z * z) / 4);
  return [centre - half, centre + half];
}

/** `k of n (55%, 95% interval 43 to 66%)`. */
export function share(k: number, n: number): string {
  const [from, to] = wilson(k, n).map((x) => Math.round(100 * x));
  return `${k} of ${n} (${Math.round((100 * k) / n)}%, 95% interval ${from} to ${to}%)`;
}

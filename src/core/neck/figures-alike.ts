import type { Fingering, FingeringProblem, FingerNote } from './problem';
import { findFingerings, type SolveOptions } from './solve';

/** A figure that comes again: the moments from `first` on and those from `again` on are the same. */
export interface Figure {
  readonly first: number;
  readonly again: number;
  /** In moments. */
  readonly length: number;
}

/** Fewer moments alike are no figure. */
const FEWEST = 4;

/**
 * What a player gives to have a figure under the same fingers when it comes again: the effort of one
 * change of position, unhurried. *Ours*.
 */
const WORTH = 1;

/** So many figures of one piece are looked at: each asks for two searches. */
const MOST = 8;

/** Longer pieces, in moments, are fingered once: a search takes time in proportion to them. */
const LONGEST = 1_000;

/**
 * The figures of a piece that come again, in the order in which they do: the same notes with the same
 * techniques, whatever their rhythm; never overlapping themselves. None in a very long piece.
 */
export function figuresOf(problem: FingeringProblem): readonly Figure[] {
  if (problem.moments.length > LONGEST) return [];
  const texts = problem.moments.map(
    ({ struck, held }) => `${struck.map((i) => textOf(problem.notes[i]!)).join()}|${held.length}`,
  );
  const seen = new Map<string, number>();
  const found: Figure[] = [];
  for (let i = 0; i + FEWEST <= texts.length; ) {
    const text = texts.slice(i, i + FEWEST).join(' ');
    const first = seen.get(text);
    if (first === undefined) seen.set(text, i);
    if (first === undefined || first + FEWEST > i) {
      i++;
      continue;
    }
    let length = FEWEST;
    while (
      first + length < i &&
      i + length < texts.length &&
      texts[first + length] === texts[i + length]
    )
      length++;
    found.push({ first, again: i, length });
    i += length;
  }
  return found;
}

/** A note without who it is, what it hangs on, and wishes for its place. */
function textOf(n: FingerNote): string {
  const {
    id: _i,
    link: _l,
    onlyString: _s,
    onlyFret: _f,
    fretRange: _r,
    stringCosts: _c,
    ...rest
  } = n;
  return JSON.stringify(rest);
}

/**
 * The fingering with figures that come again at the same places wherever that costs little more: both
 * times are held to one of the two ways found, and all is searched again, which stays exact. The fingering
 * itself where nothing comes again or the same places cost too much.
 */
export function withFiguresAlike(
  problem: FingeringProblem,
  given: Fingering,
  options: Pick<SolveOptions, 'style'> = {},
): Fingering {
  let best = given;
  let held = problem;
  let looked = 0;
  for (const figure of figuresOf(problem)) {
    if (isAlike(problem, best, figure)) {
      held = hold(held, best, figure, figure.first) ?? held;
      continue;
    }
    if (++looked > MOST) break;
    const ways = [figure.first, figure.again].flatMap((from) => {
      const way = hold(held, best, figure, from);
      const found = way === null ? undefined : findFingerings(way, options)[0];
      return way === null || found === undefined ? [] : [{ way, found }];
    });
    const [a, b] = ways;
    const least = b !== undefined && b.found.cost < a!.found.cost ? b : a;
    if (least === undefined || least.found.cost > best.cost + WORTH) continue;
    best = least.found;
    held = least.way;
  }
  return best;
}

/** The notes of the two times, one beside the other. */
function pairsOf(problem: FingeringProblem, f: Figure): readonly (readonly [number, number])[] {
  return Array.from({ length: f.length }, (_, k) => k).flatMap((k) => {
    const again = problem.moments[f.again + k]!.struck;
    return problem.moments[f.first + k]!.struck.map((n, i) => [n, again[i]!] as const);
  });
}

function isAlike(problem: FingeringProblem, f: Fingering, figure: Figure): boolean {
  return pairsOf(problem, figure).every(([a, b]) => {
    const [one, other] = [a, b].map((i) => f.places.get(problem.notes[i]!.id)!);
    return one!.string === other!.string && one!.fret === other!.fret;
  });
}

/** The problem with both times held to where one of them lies; null where a note has to lie elsewhere. */
function hold(
  problem: FingeringProblem,
  f: Fingering,
  figure: Figure,
  from: number,
): FingeringProblem | null {
  const notes = [...problem.notes];
  for (const [a, b] of pairsOf(problem, figure)) {
    const { string, fret } = f.places.get(notes[from === figure.first ? a : b]!.id)!;
    for (const i of [a, b]) {
      const n = notes[i]!;
      if (n.onlyString !== undefined && n.onlyString !== string) return null;
      if (n.onlyFret !== undefined && n.onlyFret !== fret) return null;
      // A dead note lies where the hand is.
      notes[i] = { ...n, onlyString: string, ...(n.kind === 'dead' ? {} : { onlyFret: fret }) };
    }
  }
  return { ...problem, notes };
}

import { applyFingering } from '../../src/core/neck/apply';
import { fingeringCost } from '../../src/core/neck/costs';
import { checkPlayable } from '../../src/core/neck/playable';
import type { FingeringProblem, FingerNote, Moment } from '../../src/core/neck/problem';
import type { FingeringStyle } from '../../src/core/neck/weights';
import {
  HARMONIC_NODES,
  openMidi,
  playableFrets,
  reachMillimetres,
} from '../../src/core/phrase/instrument';
import type { NoteId, Phrase, Place } from '../../src/core/phrase/types';

/** One choice of places with the cost of the hand's cheapest way through them. */
export interface BruteFingering {
  readonly places: ReadonlyMap<NoteId, Place>;
  readonly cost: number;
}

/**
 * Every legal choice of places with its cost, cheapest first, by trying all of them with every way
 * of the hand; null when there are more than `most` to try. It knows the public rules and the
 * public cost only, nothing of the search: a place sounds the pitch, `checkPlayable` finds no fault,
 * a note starts from the note it is linked to, and the index finger is where N4 lets it be.
 */
export function bruteFingerings(
  phrase: Phrase,
  problem: FingeringProblem,
  style: FingeringStyle,
  most: number,
): readonly BruteFingering[] | null {
  const choices = problem.notes.map((n) => everyPlace(problem, n));
  if (choices.reduce((product, c) => product * c.length, 1) > most) return null;
  const found: BruteFingering[] = [];
  let tried = 0;
  for (const chosen of product(choices)) {
    const places = new Map(problem.notes.map((n, i) => [n.id, chosen[i]!]));
    if (!linksHold(problem, places)) continue;
    if (checkPlayable(applyFingering(phrase, { places }), problem.limits).length > 0) continue;
    const hands = problem.moments.map((m) => everyHand(problem, m, places));
    tried += hands.reduce((p, h) => p * h.length, 1);
    if (tried > most) return null;
    let cost = Number.POSITIVE_INFINITY;
    for (const handPositions of product(hands)) {
      cost = Math.min(cost, fingeringCost(problem, { places, handPositions }, style));
    }
    found.push({ places, cost });
  }
  return found.sort((a, b) => a.cost - b.cost);
}

function everyPlace(problem: FingeringProblem, n: FingerNote): Place[] {
  const places: Place[] = [];
  for (let string = 1; string <= problem.instrument.tuning.length; string++) {
    if (n.onlyString !== undefined && n.onlyString !== string) continue;
    for (let fret = 0; fret <= playableFrets(problem.instrument); fret++) {
      const above = n.kind === 'harmonic' ? HARMONIC_NODES[fret] : fret;
      if (n.kind === 'dead' ? fret === 1 : openMidi(problem.instrument, string) + above! === n.midi)
        places.push({ string, fret });
    }
  }
  return places;
}

function linksHold(problem: FingeringProblem, places: ReadonlyMap<NoteId, Place>): boolean {
  return problem.notes.every(
    (n) => n.link === undefined || places.get(n.id)!.string === places.get(n.link.source)!.string,
  );
}

/** The index finger is on the lowest fret pressed, or below it within four frets and the reach of the highest. */
function everyHand(
  problem: FingeringProblem,
  m: Moment,
  places: ReadonlyMap<NoteId, Place>,
): number[] {
  const notes = [...m.struck, ...m.held].map((i) => problem.notes[i]!);
  const fretsOf = (kind: FingerNote['kind']) =>
    notes
      .filter((n) => n.kind === kind)
      .map((n) => places.get(n.id)!.fret)
      .filter((f) => f > 0);
  const frets = fretsOf('stopped').length > 0 ? fretsOf('stopped') : fretsOf('harmonic');
  const hands = Array.from({ length: playableFrets(problem.instrument) }, (_, i) => i + 1);
  if (frets.length === 0) return hands;
  const lo = Math.min(...frets);
  const hi = Math.max(...frets);
  return hands.filter(
    (h) =>
      h === lo ||
      (h === lo + 1 && hi - lo <= 3) ||
      (h < lo &&
        hi - h <= 4 &&
        reachMillimetres(problem.instrument, h, hi) <= problem.limits.reach),
  );
}

/** Every row with one item of each list. */
function* product<T>(lists: readonly (readonly T[])[]): Generator<readonly T[]> {
  const at = lists.map(() => 0);
  if (lists.some((l) => l.length === 0)) return;
  for (;;) {
    yield lists.map((l, i) => l[at[i]!]!);
    let i = 0;
    while (i < lists.length && ++at[i]! === lists[i]!.length) at[i++] = 0;
    if (i === lists.length) return;
  }
}

import { costsToGo, type Layers, layersOf, type Room } from './layers';
import { cheapestPath, emptyPath, fingeringOf, type Path, pathOf, sendHand } from './path';
import type { Fingering, FingeringProblem } from './problem';
import { cheapestRows } from './rows';
import { type FingeringStyle, weightsFor } from './weights';

export interface SolveOptions {
  /** Another style than the problem's own. */
  readonly style?: FingeringStyle;
  /** How many to find, at least 1; 1 when absent. */
  readonly count?: number;
}

/**
 * The cheapest fingerings under the style's weights, cheapest first, no two with the same places;
 * each with the hand's cheapest way through them (N4). Empty where the hard rules allow none.
 * Time grows linearly with the notes for one fingering.
 * @throws RangeError when a held or linked note does not sound in the moment before (programmer's error).
 */
export function findFingerings(
  problem: FingeringProblem,
  options: SolveOptions = {},
): readonly Fingering[] {
  const layers = layersOf(problem, weightsFor(options.style ?? problem.style, problem.instrument));
  if (layers === null) return [];
  const count = options.count ?? 1;
  if (count === 1) {
    const best = cheapestFingering(problem, layers);
    return best === null ? [] : [best];
  }
  const found: Fingering[] = [];
  for (const path of pathsThrough(layers)) {
    found.push(fingeringOf(problem, layers, path));
    if (found.length >= count) break;
  }
  return found;
}

/** The paths of all fingerings, one after the other, cheapest first. */
export function* pathsThrough(l: Layers): Generator<Path> {
  if (l.grips.length === 0) yield emptyPath(l);
  else for (const row of cheapestRows(l, costsToGo(l, null))) yield pathOf(l, row);
}

/** The cheapest fingering of layers made from this problem; null where the hard rules allow none. */
export function cheapestFingering(problem: FingeringProblem, l: Layers): Fingering | null {
  const path = cheapestPath(l, costsToGo(l, null));
  return path === null ? null : fingeringOf(problem, l, path);
}

/**
 * The grips of the cheapest biased fingering, and the hand's cheapest way through them without bias;
 * null where the hard rules allow none.
 * @param bias added to every state in the search, numbered from `start`.
 * @param room what is in it is lost.
 */
export function drawnPath(l: Layers, bias: Float64Array, room: Room): Path | null {
  const path = cheapestPath(l, costsToGo(l, bias, room));
  if (path !== null) sendHand(l, path, room.toGo);
  return path;
}

import type { Grips } from './grips';
import type { FingeringProblem } from './problem';
import { goesRightWay } from './problem-of';

/**
 * Which grips of neighbouring moments fit together, as one number for each grip: two fit where the
 * numbers are equal. Held and ringing notes keep their places, a note reached by a hammer-on,
 * pull-off or slide has its source's string (N3). Null where every grip fits every other.
 */
export interface Fit {
  readonly before: Int32Array;
  readonly after: Int32Array;
}

interface Tie {
  /** Positions of the notes in the grips. */
  readonly from: number;
  readonly to: number;
  readonly stringOnly: boolean;
}

/**
 * How the grips of moment `i` and the next fit together.
 * @throws RangeError when a held or linked note does not sound in the moment before.
 */
export function fitBetween(
  problem: FingeringProblem,
  i: number,
  before: Grips,
  after: Grips,
): Fit | null {
  const ties = tiesBetween(problem, i);
  if (ties.length === 0) return null;
  const numbers = new Map<number, number>();
  const number = (g: Grips, side: 'from' | 'to'): Int32Array => {
    const out = new Int32Array(g.count);
    for (let k = 0; k < g.count; k++) {
      let id = 0;
      for (const t of ties) {
        const at = k * g.width + t[side];
        const place = (g.strings[at]! << 8) | (t.stringOnly ? 0 : g.frets[at]! + 1);
        const key = id * 65_536 + place;
        let next = numbers.get(key);
        if (next === undefined) {
          next = numbers.size + 1;
          numbers.set(key, next);
        }
        id = next;
      }
      out[k] = id;
    }
    return out;
  };
  return { before: number(before, 'from'), after: number(after, 'to') };
}

function tiesBetween(problem: FingeringProblem, i: number): readonly Tie[] {
  const a = problem.moments[i]!;
  const b = problem.moments[i + 1]!;
  const ties: Tie[] = [];
  const linked = b.struck.some((n) => problem.notes[n]!.link !== undefined);
  if (!linked && b.held.length === 0 && b.ringing.length === 0) return ties;
  const from = [...a.struck, ...a.held, ...a.ringing];
  b.struck.forEach((n, to) => {
    const source = problem.notes[n]!.link?.source;
    if (source === undefined) return;
    const at = from.findIndex((k) => problem.notes[k]!.id === source);
    if (at < 0) throw new RangeError(`${source} does not sound before ${problem.notes[n]!.id}`);
    ties.push({ from: at, to, stringOnly: true });
  });
  [...b.held, ...b.ringing].forEach((n, k) => {
    const at = from.indexOf(n);
    if (at < 0) throw new RangeError(`${problem.notes[n]!.id} does not sound before`);
    ties.push({ from: at, to: b.struck.length + k, stringOnly: false });
  });
  return ties;
}

/** Whether every hammer-on, pull-off and slide has a note to start from and goes its way (N3). */
export function linksCanBeMet(problem: FingeringProblem): boolean {
  const notes = new Map(problem.notes.map((n) => [n.id, n]));
  return problem.notes.every((n) => {
    if (n.attack === undefined || n.attack === 'tap') return true;
    const source = n.link === undefined ? undefined : notes.get(n.link.source);
    if (source === undefined || n.link === undefined) return false;
    if (source.kind !== 'stopped' || n.kind !== 'stopped') return true;
    return goesRightWay(n.link.kind, source.midi, n.midi);
  });
}

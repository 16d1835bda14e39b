import type { Grips } from './grips';
import { type FingeringProblem, goesRightWay } from './problem';

/**
 * Which grips of a moment each grip of the moment before goes with. Grip p of the moment before
 * belongs to a group; the grips that fit it are `order[first[group[p]]]` to
 * `order[first[group[p] + 1] − 1]`.
 */
export interface Fit {
  readonly group: Int32Array;
  readonly first: Int32Array;
  readonly order: Int32Array;
}

/** Two notes of neighbouring moments that go together, by their positions in the grips. */
export interface Tie {
  readonly from: number;
  readonly to: number;
  /** A note reached by a hammer-on, pull-off or slide has its source's string; held and ringing notes keep their places (N3). */
  readonly stringOnly: boolean;
}

/**
 * What ties moment `i` to the next.
 * @throws RangeError when a held or linked note does not sound in the moment before.
 */
export function tiesBetween(problem: FingeringProblem, i: number): readonly Tie[] {
  const a = problem.moments[i]!;
  const b = problem.moments[i + 1]!;
  const linked = b.struck.some((n) => problem.notes[n]!.link !== undefined);
  if (!linked && b.held.length === 0 && b.ringing.length === 0) return [];
  const ties: Tie[] = [];
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

/** Groups the grips of two moments by the places of the tied notes; without ties all fit all. */
export function fitOf(before: Grips, after: Grips, ties: readonly Tie[]): Fit {
  const numbers = new Map<number, number>();
  /** One number for the tied places of grip g: equal numbers for equal places. */
  const numberOf = (grips: Grips, g: number, side: 'from' | 'to'): number => {
    let id = 0;
    for (const t of ties) {
      const at = g * grips.width + t[side];
      const place = (grips.strings[at]! << 8) | (t.stringOnly ? 0 : grips.frets[at]! + 1);
      const key = id * 65_536 + place;
      const known = numbers.get(key);
      id = known ?? numbers.size + 1;
      if (known === undefined) numbers.set(key, id);
    }
    return id;
  };
  const groups = new Map<number, number[]>();
  for (let q = 0; q < after.count; q++) {
    const id = numberOf(after, q, 'to');
    const group = groups.get(id);
    if (group === undefined) groups.set(id, [q]);
    else group.push(q);
  }
  const index = new Map([...groups.keys()].map((id, i) => [id, i]));
  const nothing = groups.size;
  const group = Int32Array.from(
    { length: before.count },
    (_, p) => index.get(numberOf(before, p, 'from')) ?? nothing,
  );
  const order = Int32Array.from([...groups.values()].flat());
  const first = new Int32Array(nothing + 2);
  [...groups.values()].forEach((g, i) => {
    first[i + 1] = first[i]! + g.length;
  });
  first[nothing + 1] = first[nothing]!;
  return { group, first, order };
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

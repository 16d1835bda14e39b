/** The room between two neighbouring places of a line: what it needs and what it would like. */
export interface Gap {
  /** Never less. */
  readonly least: number;
  /** What the time between the two asks for; 0 where more room would be no use. */
  readonly ideal: number;
}

/** Two places that need a distance whatever lies between them, such as the words over two chords. */
export interface Reach {
  readonly from: number;
  readonly to: number;
  readonly distance: number;
}

const QUARTER_ROOM = 44;
const GROWTH = 0.55;

/**
 * The room that a length of time would like: half as long takes about two thirds (common practice:
 * spacing grows more slowly than duration).
 * @param quarters Length in quarter notes.
 */
export function idealRoom(quarters: number): number {
  return quarters <= 0 ? 0 : QUARTER_ROOM * quarters ** GROWTH;
}

/** Gaps widened so that every reach is met, each in proportion to what it would like. */
export function meetReaches(gaps: readonly Gap[], reaches: readonly Reach[]): readonly Gap[] {
  const out = gaps.map((g) => ({ ...g }));
  for (const r of [...reaches].sort((a, b) => a.to - a.from - (b.to - b.from))) {
    const part = out.slice(r.from, r.to);
    const have = part.reduce((sum, g) => sum + g.least, 0);
    if (have >= r.distance || part.length === 0) continue;
    const weight = part.reduce((sum, g) => sum + g.ideal, 0);
    for (const g of part) {
      const share = weight > 0 ? g.ideal / weight : 1 / part.length;
      g.least += (r.distance - have) * share;
    }
  }
  return out;
}

/** The width below which gaps cannot be pressed, in units of the page. */
export function leastWidth(gaps: readonly Gap[]): number {
  return gaps.reduce((sum, g) => sum + g.least, 0);
}

/** Width at the stretch f: every gap has f times its ideal, but never less than its least. */
export function widthAt(gaps: readonly Gap[], f: number): number {
  return gaps.reduce((sum, g) => sum + Math.max(g.least, f * g.ideal), 0);
}

/**
 * The stretch at which the gaps fill a width exactly: one for all, so that equal times keep equal
 * room. 0 where even the least is too wide; Infinity where nothing can stretch.
 */
export function stretchFor(gaps: readonly Gap[], width: number): number {
  const springs = gaps.filter((g) => g.ideal > 0).map((g) => ({ ...g, from: g.least / g.ideal }));
  springs.sort((a, b) => a.from - b.from);
  let fixed = leastWidth(gaps);
  let moving = 0;
  if (fixed >= width) return 0;
  for (let i = 0; i < springs.length; i++) {
    const s = springs[i]!;
    fixed -= s.least;
    moving += s.ideal;
    const f = (width - fixed) / moving;
    const next = springs[i + 1];
    if (next === undefined || f <= next.from) return f;
  }
  return Number.POSITIVE_INFINITY;
}

/** The places themselves, from 0, at a stretch. */
export function placesAt(gaps: readonly Gap[], f: number): readonly number[] {
  const xs = [0];
  for (const g of gaps) xs.push(xs.at(-1)! + Math.max(g.least, f * g.ideal));
  return xs;
}

import type { Ticks } from '../../core/phrase/types';
import { TICKS_PER_QUARTER } from '../../core/phrase/types';
import { EMPTY } from '../ink/pen';
import { type Gap, idealRoom } from '../space/springs';
import type { DrawnBar, Station } from './bar';

/** Moments of a bar, counted from its beginning. */
export function momentsOf(bar: DrawnBar): readonly Ticks[] {
  const { start } = bar.bar.span;
  return bar.stations.map((s) => s.onset - start);
}

/**
 * The bar with an empty place at each of the moments at which it has nothing, so that bars under
 * each other have the same places.
 * @param moments Ticks from the beginning of the bar, ascending; all of the bar's own are among them.
 */
export function withMoments(drawn: DrawnBar, moments: readonly Ticks[]): DrawnBar {
  const { start, end } = drawn.bar.span;
  if (moments.length === drawn.stations.length) return drawn;
  const own = new Map(drawn.stations.map((s, i) => [s.onset - start, i]));
  const stations = moments.map((m): Station => {
    const i = own.get(m);
    return i === undefined ? emptyStation(start + m) : drawn.stations[i]!;
  });
  const gaps: Gap[] = moments.map((m, k) => {
    const quarters = k === 0 ? 0 : (m - moments[k - 1]!) / TICKS_PER_QUARTER;
    const i = own.get(m);
    // The room before a place of its own stays; an empty one asks only for the time that passes.
    const least = i === undefined ? 0 : drawn.gaps[i]!.least;
    return { least, ideal: idealRoom(quarters) };
  });
  const rest = (end - start - (moments.at(-1) ?? 0)) / TICKS_PER_QUARTER;
  gaps.push({ least: drawn.gaps.at(-1)!.least, ideal: idealRoom(rest) });
  return { ...drawn, stations, gaps };
}

function emptyStation(onset: Ticks): Station {
  return {
    onset,
    items: [],
    staff: EMPTY,
    tab: EMPTY,
    frets: [],
    graceJoins: [],
    chord: null,
    degrees: null,
    rhythm: null,
    marks: [],
  };
}

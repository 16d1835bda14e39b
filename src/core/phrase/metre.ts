import { SHORTEST_TICKS, valueOfTicks, WHOLE_TICKS } from './note-value';
import { isCompound } from './time';
import { type Meter, TICKS_PER_QUARTER, type Ticks } from './types';

/**
 * How a stretch of a bar is divided, and what may be written across its divisions as one note.
 * The rules are the usual ones of engraving (common practice):
 * - `middle`: the bar of four beats. A note that starts with the bar may cross the middle (whole,
 *   dotted half); any other is split there, so that the middle can always be seen.
 * - `pair`: two equal parts. Besides the whole, a note may take three quarters from the start or up
 *   to the end (dotted quarter and eighth, eighth and dotted quarter), or the inner half (the
 *   syncopation eighth, quarter, eighth).
 * - `three`: three equal parts, simple beats or the eighths of a dotted beat, and the units of a
 *   tuplet. A note may cross if it starts on a part, or joins the halves of two neighbouring parts;
 *   two dotted quarters in 3/4 would look like 6/8.
 * - `group`: dotted beats, or the unequal groups of 5 and 7. A note may cross only from one
 *   division to another.
 */
type Rule = 'middle' | 'pair' | 'three' | 'group';

/** A stretch of a bar, in ticks from the start of the full bar, and its divisions. */
export interface Stretch {
  readonly start: Ticks;
  readonly end: Ticks;
  readonly rule: Rule;
  readonly parts: () => readonly Stretch[];
  /** A rest may take the first two of three parts: only inside a dotted beat or a triplet. */
  readonly joinRests: boolean;
}

function pairOf(start: Ticks, end: Ticks): Stretch {
  const half = (start + end) / 2;
  return {
    start,
    end,
    rule: 'pair',
    joinRests: false,
    parts: () => (end - start <= SHORTEST_TICKS ? [] : [pairOf(start, half), pairOf(half, end)]),
  };
}

/** Equal parts of which each is halved again and again. */
function partsOf(start: Ticks, count: number, unit: Ticks, rule: Rule, joinRests = false): Stretch {
  const parts = () =>
    Array.from({ length: count }, (_, i) => pairOf(start + i * unit, start + (i + 1) * unit));
  return { start, end: start + count * unit, rule, joinRests, parts };
}

function groupOf(start: Ticks, groups: readonly Stretch[]): Stretch {
  return {
    start,
    end: groups.at(-1)?.end ?? start,
    rule: 'group',
    joinRests: false,
    parts: () => groups,
  };
}

/** The divisions of a full bar. */
export function stretchOfMeter(m: Meter): Stretch {
  const unit = WHOLE_TICKS / m.beatType;
  if (isCompound(m)) {
    const beats = Array.from({ length: m.beats / 3 }, (_, i) => dottedBeat(3 * i * unit, unit));
    if (beats.length !== 4) return groupOf(0, beats);
    return groupOf(0, [groupOf(0, beats.slice(0, 2)), groupOf(beats[2]!.start, beats.slice(2))]);
  }
  return simple(0, m.beats, unit);
}

function dottedBeat(start: Ticks, unit: Ticks): Stretch {
  return partsOf(start, 3, unit, 'three', true);
}

function simple(start: Ticks, beats: number, unit: Ticks): Stretch {
  if (beats === 1) return pairOf(start, start + unit);
  if (beats === 2) return partsOf(start, 2, unit, 'pair');
  if (beats === 3) return partsOf(start, 3, unit, 'three', unit < TICKS_PER_QUARTER);
  if (beats === 4) {
    const half = start + 2 * unit;
    return {
      start,
      end: start + 4 * unit,
      rule: 'middle',
      joinRests: false,
      parts: () => [simple(start, 2, unit), simple(half, 2, unit)],
    };
  }
  let at = start;
  const groups = unevenGroups(beats, unit).map((n) => {
    const g = simple(at, n, unit);
    at = g.end;
    return g;
  });
  return groupOf(start, groups);
}

/** How more than four beats are grouped: 5 as 3 + 2, 7 as 4 + 3, over eighths as 2 + 2 + 3. */
function unevenGroups(beats: number, unit: Ticks): readonly number[] {
  if (beats % 3 === 0) return Array.from({ length: beats / 3 }, () => 3);
  if (beats === 5) return [3, 2];
  if (beats === 7 && unit < TICKS_PER_QUARTER) return [2, 2, 3];
  const fours = Array.from({ length: Math.floor(beats / 4) }, () => 4);
  const rest = beats % 4;
  if (rest === 1) return [...fours.slice(1), 3, 2];
  return rest === 0 ? fours : [...fours, rest];
}

/**
 * The divisions of a tuplet in its own written values: as many equal units as it has notes.
 * @param units How many notes of one value fill it.
 * @param unit Ticks of that value as written.
 */
export function stretchOfTuplet(units: number, unit: Ticks): Stretch {
  return partsOf(0, units, unit, 'three', units === 3);
}

/**
 * Cuts [from, to) into single written values along the divisions of a stretch.
 * @returns the ends of the pieces, the last equal to `to`.
 * @throws RangeError when an end does not lie on the 128th grid (T1; refused on entry).
 */
export function splitSpan(
  s: Stretch,
  from: Ticks,
  to: Ticks,
  what: 'note' | 'rest',
): readonly Ticks[] {
  if (from < s.start || to > s.end || from >= to) {
    throw new RangeError(`[${from}, ${to}) does not lie in [${s.start}, ${s.end})`);
  }
  const parts = s.parts();
  const inside = parts.find((p) => p.start <= from && to <= p.end);
  const whole = from === s.start && to === s.end;
  if (inside !== undefined && !whole) return splitSpan(inside, from, to, what);
  if (parts.length === 0 && !whole) {
    throw new RangeError(`[${from}, ${to}) is finer than a 128th note`);
  }
  if (valueOfTicks(to - from) !== null && mayCross(s, parts, from, to, what)) return [to];
  // From a division the note goes on as long as it can; else it first reaches the next division.
  const crossed = parts.map((p) => p.start).filter((t) => t > from && t < to);
  const onDivision = parts.some((p) => p.start === from);
  const cut = onDivision && what === 'note' ? crossed.at(-1) : crossed[0];
  if (cut === undefined) throw new RangeError(`[${from}, ${to}) cannot be written`);
  return [...splitSpan(s, from, cut, what), ...splitSpan(s, cut, to, what)];
}

function mayCross(
  s: Stretch,
  parts: readonly Stretch[],
  from: Ticks,
  to: Ticks,
  what: 'note' | 'rest',
): boolean {
  const fromStart = from === s.start;
  const toEnd = to === s.end;
  if (fromStart && toEnd) return true;
  const isDivision = (t: Ticks) => t === s.end || parts.some((p) => p.start === t);
  if (what === 'rest') return s.joinRests && fromStart && to === parts[1]?.end;
  switch (s.rule) {
    case 'middle':
      return fromStart;
    case 'pair':
      return fromStart || toEnd || joinsHalves(parts, from, to);
    case 'three':
      return isDivision(from) || joinsHalves(parts, from, to);
    case 'group':
      return isDivision(from) && isDivision(to);
  }
}

/** From the middle of one part to the middle of the next. */
function joinsHalves(parts: readonly Stretch[], from: Ticks, to: Ticks): boolean {
  return parts.some((p, i) => {
    const next = parts[i + 1];
    return (
      next !== undefined && from === (p.start + p.end) / 2 && to === (next.start + next.end) / 2
    );
  });
}

/**
 * Where beams are broken: the length of the stretches inside which eighths and shorter notes are
 * joined, in order, filling the full bar (common practice).
 * - dotted beats in compound meter, the groups of 5/8 and 7/8, the bar of 3/8;
 * - otherwise a quarter, or the beat where that is longer.
 */
export function beamSpans(m: Meter): readonly Ticks[] {
  const unit = WHOLE_TICKS / m.beatType;
  const total = m.beats * unit;
  if (isCompound(m)) return Array.from({ length: m.beats / 3 }, () => 3 * unit);
  if (unit < TICKS_PER_QUARTER) {
    if (m.beats === 3) return [total];
    if (m.beats > 4) return unevenGroups(m.beats, unit).map((n) => n * unit);
  }
  const span = Math.max(unit, TICKS_PER_QUARTER);
  const spans: Ticks[] = [];
  for (let at = 0; at < total; at += span) spans.push(Math.min(span, total - at));
  return spans;
}

/**
 * Length over which a run of plain eighths is joined beyond `beamSpans`: a half note in two and
 * four quarters. Null in other meters.
 */
export function wideBeamSpan(m: Meter): Ticks | null {
  return m.beatType === 4 && (m.beats === 2 || m.beats === 4) ? 2 * TICKS_PER_QUARTER : null;
}

import { meterTicks } from '../../../core/phrase/time';
import type { Bar, Meter, Ticks } from '../../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../../core/result';
import { attribute, problemAt, type XmlElement } from '../xml/parse';
import type { ImportLog } from './log';
import type { RawMeasure } from './raw';
import { endingsOf, mendRepeats, type RepeatSigns, repeatSigns, withLongEndings } from './repeats';
import { meterOfTicks, snap, WHOLE } from './value';

/** The bars of a phrase, and where each measure of the file begins in it. */
export interface BarLayout {
  readonly starts: readonly Ticks[];
  readonly pickup: Ticks;
  readonly bars: readonly Bar[];
  readonly length: Ticks;
}

/** The shortest written value, a 128th (T1): pickup and length are multiples of it. */
export const GRID: Ticks = WHOLE / 128;

/** A measure that misses its meter by less than this was rounded by its program, ... */
const ROUNDED = 105;

/** ... if it is by no more than so many divisions of the file. */
const ROUNDED_DIVISIONS = 3;

/** More bars than this are no phrase and no piece. */
const MOST_BARS = 20_000;

const COMMON: Meter = { beats: 4, beatType: 4 };

/** Measures of the file that make one bar: a bar split by an implicit measure, or just one. */
interface Group {
  readonly first: number;
  readonly count: number;
  /** Exact ticks of the contents. */
  readonly content: number;
  readonly full: Ticks;
  readonly meter: Meter | null;
  /** Bars of their own that end between 16ths, and only together fill a bar of the model. */
  readonly joined: boolean;
}

/**
 * Makes the bars (T2): a short first measure is the pickup; implicit measures that complete a bar
 * are joined to it; a bar that is shorter or longer than its time signature gets one of its own, so
 * that no later onset moves; the last may end early.
 */
export function layOutBars(measures: readonly RawMeasure[], log: ImportLog): Result<BarLayout> {
  if (!measures.some((m) => m.stated)) {
    log.add('assumed', 'the file has no time signature: 4/4');
  }
  const groups = groupMeasures(measures);
  const pickup = pickupOf(groups);
  const starts: number[] = [];
  const bars: Bar[] = [];
  const barOfMeasure: number[] = [];
  let at = 0;
  let length = groups.length === 0 ? WHOLE : 0;
  for (const [i, g] of groups.entries()) {
    const built = i === 0 && pickup > 0 ? asPickup(pickup) : buildBars(g, i === groups.length - 1);
    if (built === null || built.meters.length + bars.length > MOST_BARS) {
      return fail(tooLong(measures[g.first]!.element, g.content));
    }
    // A pickup is filled up in front, so that the bar line stays where it is.
    let inside = i === 0 && pickup > 0 ? pickup - g.content : 0;
    for (const m of measures.slice(g.first, g.first + g.count)) {
      starts.push(snap(at + inside));
      barOfMeasure.push(bars.length);
      inside = snap(inside + m.length);
    }
    describeBars(log, at, g, built, measures[g.first]!);
    for (const meter of built.meters) bars.push({ meter });
    length = at + built.used;
    at += built.ticks;
  }
  if (bars.length === 0) bars.push({ meter: COMMON });
  const firsts = new Set(groups.map((g) => g.first));
  const lasts = new Set(groups.map((g) => g.first + g.count - 1));
  const signs = measures.map((m, i) => ({
    ...repeatSigns(m, log, starts[i] ?? 0),
    bar: barOfMeasure[i] ?? 0,
    inPickup: pickup > 0 && i < (groups[0]?.count ?? 0),
    startsBar: firsts.has(i),
    endsBar: lasts.has(i),
  }));
  return ok({ starts, pickup, bars: withSigns(bars, signs, starts, log), length });
}

function tooLong(measure: XmlElement, content: number): Problem {
  const number = attribute(measure, 'number') ?? '';
  const quarters = Math.round(content / (WHOLE / 4));
  return problemAt(
    measure,
    `the measure '${number}' is ${quarters} quarter notes long`,
    'Check the durations in it.',
  );
}

/** What a group of measures becomes. */
interface Built {
  readonly meters: readonly Meter[];
  /** From its beginning to that of the next. */
  readonly ticks: Ticks;
  /** From its beginning to the end of the phrase if it is the last. */
  readonly used: Ticks;
  readonly odd: boolean;
}

function asPickup(pickup: Ticks): Built {
  return { meters: [], ticks: pickup, used: pickup, odd: false };
}

/** The bars of a group that is no pickup; null when it would take far too many. */
function buildBars(g: Group, isLast: boolean): Built | null {
  const meter = g.meter ?? COMMON;
  if (g.content === 0 || g.content === g.full) {
    return { meters: [meter], ticks: g.full, used: g.full, odd: false };
  }
  if (isLast && g.content < g.full) {
    return { meters: [meter], ticks: g.full, used: upToGrid(g.content), odd: false };
  }
  const meters = ownMeters(g.content, meter.beatType);
  if (meters === null) return null;
  const ticks = meters.reduce((sum, m) => sum + meterTicks(m), 0);
  return { meters, ticks, used: ticks, odd: true };
}

/** Length of the pickup: a first measure shorter than its meter and than the bar after it; else 0. */
function pickupOf(groups: readonly Group[]): Ticks {
  const [first, second] = groups;
  if (first === undefined || second === undefined || first.meter === null) return 0;
  if (first.content === 0 || first.content >= first.full) return 0;
  const pickup = upToGrid(first.content);
  const bar = buildBars(second, groups.length === 2)?.meters[0];
  return bar !== undefined && pickup < meterTicks(bar) ? pickup : 0;
}

function describeBars(log: ImportLog, at: Ticks, g: Group, built: Built, m: RawMeasure): void {
  const found = { onset: at };
  if (built.meters.length === 0) {
    if (!m.implicit && attribute(m.element, 'number') !== '0') {
      log.add('assumed', 'the short first bar is read as a pickup', found);
    }
    return;
  }
  // Also where they fill a bar of the meter together: a bar line is lost.
  if (g.joined) {
    log.add('approximated', 'bars that end between 16ths are joined to keep all times', found);
    return;
  }
  if (!built.odd) return;
  if (built.ticks - g.content >= 1) {
    log.add('mended', 'a bar that ends between 16ths is filled up with a rest', found);
  }
  if (g.meter === null) {
    log.add('assumed', 'bars without a time signature get one of their own length', found);
  } else if (built.meters.length > 1) {
    log.add('approximated', 'a very long bar is cut into several', found);
  } else {
    const size = g.content < g.full ? 'shorter' : 'longer';
    log.add('approximated', `a bar ${size} than its time signature gets one of its own`, found);
  }
}

function upToGrid(ticks: number): Ticks {
  return Math.ceil(snap(ticks / GRID)) * GRID;
}

/** Whether contents miss the full bar only by what the program's divisions could not hold. */
function isRounded(content: number, full: Ticks, grain: number): boolean {
  const off = Math.abs(content - full);
  return content > 0 && off < Math.min(ROUNDED, ROUNDED_DIVISIONS * grain + 0.5);
}

function groupMeasures(measures: readonly RawMeasure[]): readonly Group[] {
  const groups: Group[] = [];
  for (let i = 0; i < measures.length; ) {
    const m = measures[i]!;
    const full = meterTicks(m.meter ?? COMMON);
    let content = m.length;
    let count = 1;
    while (content > 0) {
      const next = measures[i + count];
      if (next === undefined || !next.implicit || next.length === 0) break;
      if (snap(content + next.length) > full + ROUNDED) break;
      content = snap(content + next.length);
      count++;
    }
    const rounded = isRounded(content, full, measures[i + count - 1]!.grain);
    const joined =
      rounded || (i === 0 && m.meter !== null) ? null : joinedTo16th(measures, i, count);
    groups.push({
      first: i,
      count: joined?.count ?? count,
      content: joined?.content ?? (rounded ? full : content),
      full,
      meter: m.meter,
      joined: joined !== null,
    });
    i += joined?.count ?? count;
  }
  return groups;
}

/** Bars that end between 16ths are joined to so many at most. */
const MOST_JOINED = 4;

/** Measures from `first` on that end on a 16th together but not sooner; null where few do not. */
function joinedTo16th(
  measures: readonly RawMeasure[],
  first: number,
  count: number,
): { readonly count: number; readonly content: number } | null {
  const sixteenths = (ticks: number) => Number.isInteger(snap(ticks / (WHOLE / 16)));
  let content = measures.slice(first, first + count).reduce((sum, m) => snap(sum + m.length), 0);
  if (content === 0 || sixteenths(content)) return null;
  for (let n = count; n < count + MOST_JOINED - 1; n++) {
    const next = measures[first + n];
    if (next === undefined || next.length === 0) return null;
    content = snap(content + next.length);
    if (sixteenths(content)) return { count: n + 1, content };
  }
  return null;
}

/**
 * Meters whose bars hold so many ticks, filled up to the next 16th; a stretch too long for one bar
 * is cut into bars of 4/4. Null when that would be far too many.
 */
function ownMeters(content: number, prefer: Meter['beatType']): readonly Meter[] | null {
  const ceiling = Math.ceil(snap(content / (WHOLE / 16))) * (WHOLE / 16);
  const single = meterOfTicks(ceiling, prefer);
  if (single !== null) return [single];
  const whole = Math.floor(ceiling / WHOLE);
  if (whole > MOST_BARS) return null;
  const last = meterOfTicks(ceiling - whole * WHOLE, prefer);
  return [...Array.from({ length: whole }, () => COMMON), ...(last === null ? [] : [last])];
}

interface PlacedSigns extends RepeatSigns {
  readonly bar: number;
  readonly inPickup: boolean;
  readonly startsBar: boolean;
  readonly endsBar: boolean;
}

/** Puts repeats and endings on the bars they belong to. */
function withSigns(
  bars: readonly Bar[],
  signs: readonly PlacedSigns[],
  starts: readonly Ticks[],
  log: ImportLog,
): readonly Bar[] {
  const long = withLongEndings(signs, (i) => {
    const found = { onset: starts[i] ?? 0 };
    log.add('mended', 'an ending that stops before its repeat goes on to it', found);
  });
  const endings = endingsOf(long);
  const out = bars.map((b): { -readonly [K in keyof Bar]: Bar[K] } => ({ ...b }));
  signs.forEach((s, i) => {
    const bar = out[Math.min(s.bar, out.length - 1)]!;
    const found = { onset: starts[i] ?? 0 };
    const misplaced =
      (s.repeatStart && (!s.startsBar || s.inPickup)) ||
      (s.repeatEnd !== null && (!s.endsBar || s.inPickup));
    if (misplaced) {
      log.add('approximated', 'a repeat sign inside a bar is put on its bar line', found);
    }
    if (s.repeatStart) bar.repeatStart = true;
    if (s.repeatEnd !== null && !s.inPickup) bar.repeatEnd = s.repeatEnd;
    const passes = endings[i]!;
    if (passes.length > 0 && !s.inPickup) bar.ending = passes;
  });
  const firsts = new Map<number, Ticks>();
  signs.forEach((s, i) => {
    if (!firsts.has(s.bar)) firsts.set(s.bar, starts[i] ?? 0);
  });
  const onsets = out.map((_, bar) => firsts.get(bar) ?? 0);
  return mendRepeats(out, onsets, log);
}

import type { Bar, Ticks } from '../../../core/phrase/types';
import { attribute, child, readNumber } from '../xml/parse';
import type { ImportLog } from './log';
import type { RawMeasure } from './raw';

/** What the bar lines of one measure say. */
export interface RepeatSigns {
  readonly repeatStart: boolean;
  /** How often the section is played in all; null without a repeat. */
  readonly repeatEnd: number | null;
  /** Passes of an ending that begins here; empty without one. */
  readonly endingStart: readonly number[];
  readonly endingStops: boolean;
}

/** A repeat played more often than this is a slip. */
const MOST_PASSES = 99;

/** The repeats and endings at the bar lines of a measure; what is not kept goes into the log. */
export function repeatSigns(m: RawMeasure, log: ImportLog, onset: Ticks): RepeatSigns {
  let repeatStart = false;
  let repeatEnd: number | null = null;
  let endingStart: readonly number[] = [];
  let endingStops = false;
  for (const b of m.barlines) {
    if (attribute(b, 'location') === 'middle') {
      log.add('dropped', 'bar lines inside a bar are not kept', { onset, line: b.line });
    }
    const repeat = child(b, 'repeat');
    if (repeat !== undefined) {
      if (attribute(repeat, 'direction') === 'forward') repeatStart = true;
      else {
        const times = readNumber(attribute(repeat, 'times')) ?? 2;
        repeatEnd = Math.max(2, Math.min(MOST_PASSES, Math.round(times)));
      }
    }
    const ending = child(b, 'ending');
    if (ending !== undefined) {
      if (attribute(ending, 'type') === 'start') {
        endingStart = readPasses(attribute(ending, 'number') ?? '');
        if (endingStart.length === 0) {
          log.add('dropped', 'an ending without a number is not kept', { onset, line: b.line });
        }
      } else endingStops = true;
    }
    for (const sign of ['segno', 'coda', 'fermata']) {
      if (child(b, sign) !== undefined) {
        log.add('dropped', `a ${sign} at a bar line is not kept`, { onset, line: b.line });
      }
    }
  }
  return { repeatStart, repeatEnd, endingStart, endingStops };
}

/** '1, 2' as [1, 2]; empty when it holds no number from 1 to 99. */
function readPasses(text: string): readonly number[] {
  const numbers = text
    .split(/[\s,]+/u)
    .map((t) => readNumber(t))
    .filter((n): n is number => n !== null && Number.isInteger(n) && n >= 1 && n <= MOST_PASSES);
  return [...new Set(numbers)].sort((a, b) => a - b);
}

/**
 * The signs with every ending that stops before its repeat led on to it: many programs write the stop
 * of the bracket at the end of its first bar. Only where the next ending begins behind that repeat.
 */
export function withLongEndings(
  signs: readonly RepeatSigns[],
  onMended: (measure: number) => void,
): readonly RepeatSigns[] {
  const out = [...signs];
  signs.forEach((s, i) => {
    if (!s.endingStops || s.repeatEnd !== null) return;
    let to = i + 1;
    while (signs[to] !== undefined && isPlain(signs[to]!)) to++;
    const ends = signs[to];
    if (ends === undefined || ends.repeatEnd === null || signs[to + 1] === undefined) return;
    if (ends.repeatStart || ends.endingStart.length > 0) return;
    if (signs[to + 1]!.endingStart.length === 0) return;
    out[i] = { ...s, endingStops: false };
    out[to] = { ...ends, endingStops: true };
    onMended(i);
  });
  return out;
}

function isPlain(s: RepeatSigns): boolean {
  return !s.repeatStart && s.repeatEnd === null && s.endingStart.length === 0 && !s.endingStops;
}

/** The passes of each measure: an ending lasts from its start to its stop, or to the next start. */
export function endingsOf(signs: readonly RepeatSigns[]): readonly (readonly number[])[] {
  // Whether an ending that is open after this measure is closed further on.
  const closedLater: boolean[] = [];
  let closed = false;
  for (let i = signs.length - 1; i >= 0; i--) {
    closedLater[i] = closed;
    if (signs[i]!.endingStart.length > 0) closed = true;
    if (signs[i]!.endingStops) closed = true;
  }
  let open: readonly number[] = [];
  return signs.map((s, i) => {
    if (s.endingStart.length > 0) open = s.endingStart;
    const here = open;
    // An ending that is never closed holds for its own bar only.
    if (s.endingStops || (s.endingStart.length > 0 && closedLater[i] !== true)) open = [];
    return here;
  });
}

type Draft = { -readonly [K in keyof Bar]: Bar[K] };

/**
 * Repeats and endings as the model takes them: no repeat inside another or without an end; endings
 * numbered 1, 2, … without a gap, after at least one bar without, each but the last closed by a
 * repeat. What is not so is put right where the meaning is plain, else left out, and logged.
 */
export function mendRepeats(bars: readonly Bar[], onsets: readonly Ticks[], log: ImportLog): Bar[] {
  const out = bars.map((b): Draft => ({ ...b }));
  const note = (kind: 'dropped' | 'mended', message: string, bar: number) => {
    log.add(kind, message, { onset: onsets[bar] ?? 0 });
  };
  let open: number | null = null;
  let sectionStart = 0;
  for (let i = 0; i < out.length; i++) {
    const bar = out[i]!;
    if (bar.ending !== undefined) {
      let to = i;
      while (out[to]?.ending !== undefined) to++;
      if (i > sectionStart && mendEndings(out.slice(i, to), (k) => i + k, note)) {
        open = null;
        sectionStart = to;
        i = to - 1;
        continue;
      }
      note('dropped', 'endings that do not number the passes 1, 2, … are not kept', i);
      for (const b of out.slice(i, to)) delete b.ending;
    }
    if (bar.repeatStart === true) {
      if (open === null) {
        open = i;
        sectionStart = i;
      } else {
        note('dropped', 'a repeat that starts inside another is not kept', i);
        delete bar.repeatStart;
      }
    }
    if (bar.repeatEnd !== undefined) {
      open = null;
      sectionStart = i + 1;
    }
  }
  if (open !== null) {
    note('dropped', 'a repeat that never ends is not kept', open);
    delete out[open]!.repeatStart;
  }
  return out;
}

/** Puts one run of bars under brackets right; false when its numbers make no sense. */
function mendEndings(
  run: readonly Draft[],
  barOf: (k: number) => number,
  note: (kind: 'dropped' | 'mended', message: string, bar: number) => void,
): boolean {
  const passes = run.at(-1)!.ending!.at(-1)!;
  let due = 1;
  for (const [k, bar] of run.entries()) {
    if (k > 0 && sameList(bar.ending!, run[k - 1]!.ending!)) continue;
    if (!bar.ending!.every((n, j) => n === due + j)) return false;
    due += bar.ending!.length;
  }
  if (passes < 2) return false;
  run.forEach((bar, k) => {
    if (bar.repeatStart === true) {
      note('dropped', 'a repeat that starts under an ending is not kept', barOf(k));
      delete bar.repeatStart;
    }
    const next = run[k + 1];
    const closes = next !== undefined && !sameList(bar.ending!, next.ending!);
    if (closes) {
      if (bar.repeatEnd === undefined) {
        note('mended', 'an ending gets the repeat that should close it', barOf(k));
      }
      bar.repeatEnd = passes;
    } else if (bar.repeatEnd !== undefined) {
      note('dropped', 'a repeat under the last ending is not kept', barOf(k));
      delete bar.repeatEnd;
    }
  });
  return true;
}

function sameList(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((x, i) => x === b[i]);
}

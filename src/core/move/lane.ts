import { barSpans, beatTicks, meterTicks } from '../phrase/time';
import type { ChordChange, Phrase, Ticks } from '../phrase/types';
import { fail, ok, type Result } from '../result';
import { chordOf, chordSign, formatChord, isNoChord } from '../theory/chord';
import type { Key } from '../theory/key';
import type { PitchClass } from '../theory/pitch';
import { parseChordOrRoman } from '../theory/roman';
import type { LaneChord } from './request';

/**
 * Reads a destination lane (M2): bars divided by `|`, symbols or numerals in a bar sharing its
 * beats; without `|` one symbol a bar. A stroke at
 * an end is enough: `I7 V7 |` is a single bar. `N.C.` leaves a place without chord.
 * @returns The symbols of each bar; every bar has at least one.
 */
export function parseLane(text: string, key: Key): Result<readonly (readonly LaneChord[])[]> {
  const trimmed = text
    .trim()
    .replace(/^\||\|$/gu, '')
    .trim();
  if (trimmed === '') {
    return fail({
      message: 'the lane of chords is empty',
      fix: "Write symbols or numerals, for example 'I7 | IV7 | I7 V7'.",
    });
  }
  const byBar = text.includes('|') ? trimmed.split('|').map(words) : words(trimmed).map((w) => [w]);
  const bars: LaneChord[][] = [];
  for (const [i, symbols] of byBar.entries()) {
    if (symbols.length === 0) {
      return fail({
        message: 'the bar has no chord symbol',
        bar: i + 1,
        fix: 'Write one symbol at least.',
      });
    }
    const bar: LaneChord[] = [];
    for (const s of symbols) {
      if (isNoChord(s)) {
        bar.push(null);
        continue;
      }
      const chord = parseChordOrRoman(s, key);
      if (!chord.ok) return fail(...chord.problems.map((p) => ({ ...p, bar: i + 1 })));
      bar.push(chord.value);
    }
    bars.push(bar);
  }
  return ok(bars);
}

/** Whether a lane means other chords in another key: whether it has numerals. */
export function countsFromKey(text: string): boolean {
  const [inC, inD] = [C, D].map((tonic) => parseLane(text, { tonic, mode: 'major' }));
  if (!inC!.ok || !inD!.ok) return false;
  const symbols = (bars: readonly (readonly LaneChord[])[]) =>
    bars.flat().map((c) => (c === null ? '' : formatChord(c)));
  return symbols(inC!.value).join() !== symbols(inD!.value).join();
}

const C: PitchClass = { letter: 'C', alter: 0 };
const D: PitchClass = { letter: 'D', alter: 0 };

function words(text: string): string[] {
  return text
    .trim()
    .split(/\s+/u)
    .filter((w) => w !== '');
}

/** A change of the destination lane with its chord still parsed. */
export interface LaneChange {
  readonly onset: Ticks;
  readonly chord: LaneChord;
}

/**
 * Lays a lane over the bars of a phrase (M2). The pickup takes the first chord; one symbol covers
 * everything; otherwise the number of bars must equal the phrase's: no silent repeat or cut.
 */
export function layLane(
  p: Pick<Phrase, 'pickup' | 'bars' | 'length'>,
  bars: readonly (readonly LaneChord[])[],
): Result<readonly LaneChange[]> {
  if (bars.length === 1 && bars[0]!.length === 1) return ok([{ onset: 0, chord: bars[0]![0]! }]);
  if (bars.length !== p.bars.length) {
    return fail({
      message: `the lane has ${count(bars.length, 'bar')} and the phrase ${count(p.bars.length, 'bar')}`,
      fix: `Give ${count(p.bars.length, 'bar')} of chords, or one symbol for the whole phrase.`,
    });
  }
  const changes: LaneChange[] = [];
  for (const span of barSpans(p)) {
    if (span.number === 0) continue;
    const symbols = bars[span.number - 1]!;
    const beat = beatTicks(span.bar.meter);
    const beats = Math.round(meterTicks(span.bar.meter) / beat);
    if (symbols.length > beats) {
      return fail({
        message: `${symbols.length} symbols share a bar of ${count(beats, 'beat')}`,
        bar: span.number,
        fix: 'Give at most one symbol a beat.',
      });
    }
    symbols.forEach((chord, k) => {
      // Where the beats do not divide evenly the earlier symbols last longer.
      const onset = span.start + Math.ceil((k * beats) / symbols.length) * beat;
      if (onset < p.length) changes.push({ onset: changes.length === 0 ? 0 : onset, chord });
    });
  }
  return ok(mergeEqual(changes));
}

/** A symbol written again in the next bar is the same chord going on, not a change. */
function mergeEqual(changes: readonly LaneChange[]): LaneChange[] {
  return changes.filter((c, i) => {
    const before = changes[i - 1];
    return before === undefined || symbolOf(before.chord) !== symbolOf(c.chord);
  });
}

/** The lane of a phrase with its chords parsed. */
export function laneOf(p: Pick<Phrase, 'chords'>): readonly LaneChange[] {
  return p.chords.map((c) => ({
    onset: c.onset,
    chord: c.symbol === null ? null : chordOf(c.symbol),
  }));
}

/** The lane as it is stored. */
export function storeLane(changes: readonly LaneChange[]): ChordChange[] {
  return changes.map((c) => ({
    onset: c.onset,
    symbol: c.chord === null ? null : formatChord(c.chord),
  }));
}

/** A chord in words for reports, typeset. */
export function nameOf(chord: LaneChord): string {
  return chord === null ? 'N.C.' : chordSign(chord);
}

/** A chord as data names it. */
export function symbolOf(chord: LaneChord): string {
  return chord === null ? 'N.C.' : formatChord(chord);
}

function count(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? '' : 's'}`;
}

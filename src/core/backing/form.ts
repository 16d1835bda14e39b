import { type LaneChange, laneOf, layLane, nameOf } from '../move/lane';
import type { LaneChord } from '../move/request';
import { barSpans, fullLength, meterTicks } from '../phrase/time';
import {
  type Feel,
  type Meter,
  type Phrase,
  type Tempo,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../phrase/types';
import type { Result } from '../result';
import { secondsPerTick } from '../sound/perform';
import { playedTicks, unfold } from '../sound/unfold';
import { chordFrom } from '../theory/chord';
import type { Key } from '../theory/key';
import type { BackingForm, FormBar, FormChord } from './types';

export interface FormOptions {
  /** Whether repeats and endings are played; default yes, as in the performance. */
  readonly repeats?: boolean;
  /** Whether the last bar is played to its end where the phrase ends inside it; default no. */
  readonly full?: boolean;
}

/**
 * The form of a phrase as it is played: repeats and endings unfolded as for the performance, so that
 * both have one clock. Without a lane the band stays on the key's own chord.
 */
export function formOfPhrase(phrase: Phrase, o: FormOptions = {}): BackingForm {
  const p = o.full === true ? { ...phrase, length: fullLength(phrase) } : phrase;
  const passes = o.repeats === false ? [{ start: 0, end: p.length, at: 0 }] : unfold(p);
  const lane = p.chords.length === 0 ? [{ onset: 0, chord: tonicChord(p.key) }] : laneOf(p);
  const spans = barSpans(p);
  const bars: FormBar[] = [];
  const changes: { at: Ticks; chord: LaneChord }[] = [];
  for (const pass of passes) {
    const played = (tick: Ticks) => pass.at + tick - pass.start;
    for (const span of spans) {
      if (span.start < pass.start || span.start >= pass.end || span.end <= span.start) continue;
      const { bar, number } = span;
      bars.push({
        number,
        meter: bar.meter,
        start: played(span.start),
        end: played(Math.min(span.end, pass.end)),
        closes: bar.repeatEnd !== undefined,
      });
    }
    // The pickup takes the first chord (M2).
    const before = lane.filter((c) => c.onset <= pass.start).at(-1) ?? lane[0];
    if (before !== undefined) changes.push({ at: pass.at, chord: before.chord });
    for (const c of lane) {
      if (c.onset > pass.start && c.onset < pass.end) {
        changes.push({ at: played(c.onset), chord: c.chord });
      }
    }
  }
  const length = playedTicks(passes);
  return {
    key: p.key,
    feel: p.feel,
    bars: withSections(bars),
    chords: joined(changes, length),
    length,
    quarters: quartersAMinute(p.tempo),
  };
}

export interface FormOfBars {
  readonly key: Key;
  readonly meter: Meter;
  readonly tempo: Tempo;
  readonly feel?: Feel;
  /** Symbols of each bar, sharing its beats. */
  readonly bars: readonly (readonly LaneChord[])[];
  /** Numbers of the bars, from 1, with which sections begin, where they are known. */
  readonly sectionStarts?: readonly number[];
}

/** A form from its chords alone, bar by bar. @returns a Problem for a bar with more symbols than beats. */
export function formOfBars(o: FormOfBars): Result<BackingForm> {
  const bar = meterTicks(o.meter);
  const starts = new Set(o.sectionStarts ?? []);
  const length = bar * o.bars.length;
  const bars = o.bars.map((_, i) => ({ meter: o.meter, number: i + 1, start: i * bar }));
  const laid = layLane({ pickup: 0, bars: bars.map((b) => ({ meter: b.meter })), length }, o.bars);
  if (!laid.ok) return laid;
  return {
    ok: true,
    value: {
      key: o.key,
      feel: o.feel ?? { kind: 'straight' },
      bars: withSections(
        bars.map((b) => ({ ...b, end: b.start + bar, closes: starts.has(b.number + 1) })),
      ),
      chords: joined(laid.value.map(atOfOnset), length),
      length,
      quarters: quartersAMinute(o.tempo),
    },
  };
}

function atOfOnset(c: LaneChange): { at: Ticks; chord: LaneChord } {
  return { at: c.onset, chord: c.chord };
}

function quartersAMinute(tempo: Tempo): number {
  return 60 / (secondsPerTick(tempo) * TICKS_PER_QUARTER);
}

/** I of the key: a seventh in the blues (D6). */
function tonicChord(key: Key): LaneChord {
  const kind = key.mode === 'blues' ? 'dominant' : key.mode;
  const made = chordFrom(key.tonic, kind);
  return made.ok ? made.value : null;
}

function joined(
  changes: readonly { readonly at: Ticks; readonly chord: LaneChord }[],
  length: Ticks,
): readonly FormChord[] {
  const out: { start: Ticks; end: Ticks; chord: LaneChord }[] = [];
  for (const c of changes) {
    const last = out.at(-1);
    if (last !== undefined && nameOf(last.chord) === nameOf(c.chord)) continue;
    if (last !== undefined) last.end = c.at;
    if (last !== undefined && last.start === c.at) out.pop();
    out.push({ start: c.at, end: length, chord: c.chord });
  }
  return out.filter((c) => c.end > c.start);
}

/** No stretch without a section's end is longer than this many bars. */
const LONGEST_SECTION = 8;

/**
 * Sections end with repeats and with the form; longer stretches are cut into eights where they come
 * out even, else into fours (common practice: a blues has three lines of four, a song eights).
 */
function withSections(bars: readonly FormBar[]): readonly FormBar[] {
  const out: FormBar[] = [];
  let open: FormBar[] = [];
  const close = () => {
    const size = open.length % LONGEST_SECTION === 0 ? LONGEST_SECTION : 4;
    const long = open.length > LONGEST_SECTION;
    open.forEach((b, i) => {
      const cut = long && (i + 1) % size === 0 && open.length - (i + 1) >= 2;
      out.push({ ...b, closes: cut || i === open.length - 1 });
    });
    open = [];
  };
  for (const b of bars) {
    if (b.number === 0) out.push({ ...b, closes: false });
    else {
      open.push(b);
      if (b.closes) close();
    }
  }
  if (open.length > 0) close();
  return out;
}

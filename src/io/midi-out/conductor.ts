import { barSpans, isCompound } from '../../core/phrase/time';
import { type Meter, type Phrase, TICKS_PER_QUARTER, type Ticks } from '../../core/phrase/types';
import type { Round } from '../../core/practice/rounds';
import { formatDegree } from '../../core/theory/degree';
import { signatureFifths } from '../../core/theory/key';
import { analyse } from '../../core/understand/analyse';
import { meta, type TrackEvent, textMeta } from './bytes';

/** Types of meta events (Standard MIDI Files 1.0). */
const META = {
  text: 0x01,
  name: 0x03,
  lyric: 0x05,
  marker: 0x06,
  tempo: 0x51,
  meter: 0x58,
  key: 0x59,
};

/** A phrase as it is played at its place in a file. */
export type ConductedRound = Pick<Round, 'phrase' | 'played' | 'ticksBefore' | 'ticks'>;

/**
 * The first track: title, tempo, meters, key, chord symbols as markers and each note's degree as a
 * lyric, in the order played.
 */
export function conductor(rounds: readonly ConductedRound[]): readonly TrackEvent[] {
  const state: State = { meter: null, key: null };
  return rounds.flatMap((r, i) => roundEvents(r, i === 0, state));
}

/** What was said last. */
interface State {
  meter: Meter | null;
  key: string | null;
}

function roundEvents(r: ConductedRound, first: boolean, state: State): readonly TrackEvent[] {
  const { phrase: p, played } = r;
  const events: TrackEvent[] = [];
  const add = (at: number, rank: number, bytes: readonly number[]) =>
    events.push({ at: r.ticksBefore + at, rank, bytes });
  if (first) {
    add(0, 0, textMeta(META.name, p.meta.title));
    add(0, 1, meta(META.tempo, u24(Math.round(played.secondsPerTick * TICKS_PER_QUARTER * 1e6))));
  }
  const key = [signatureFifths(p.key) & 0xff, p.key.mode === 'minor' ? 1 : 0];
  if (state.key !== key.join()) add(0, 2, meta(META.key, key));
  state.key = key.join();
  const spans = barSpans(p);
  const lyrics = degreesByOnset(p);
  for (const pass of played.passes) {
    const at = (tick: Ticks) => pass.at + tick - pass.start;
    const inside = (tick: Ticks) => tick >= pass.start && tick < pass.end;
    for (const { bar, start, end, number } of spans) {
      if (!inside(start)) continue;
      // A file has no pickup: it is a short first bar, where a meter can say its length.
      const meter = (number === 0 ? meterOfLength(end - start) : null) ?? bar.meter;
      if (sameMeter(meter, state.meter)) continue;
      state.meter = meter;
      add(at(start), 3, meta(META.meter, meterBytes(meter)));
    }
    const before = p.chords.filter((c) => c.onset < pass.start).at(-1);
    if (before !== undefined && pass.at > 0)
      add(pass.at, 4, textMeta(META.marker, before.symbol ?? 'N.C.'));
    for (const c of p.chords) {
      if (inside(c.onset)) add(at(c.onset), 4, textMeta(META.marker, c.symbol ?? 'N.C.'));
    }
    for (const m of p.marks) {
      if (m.kind === 'words' && inside(m.onset)) add(at(m.onset), 5, textMeta(META.text, m.text));
    }
    for (const [onset, text] of lyrics) {
      if (inside(onset)) add(at(onset), 6, textMeta(META.lyric, text));
    }
  }
  return events;
}

/** The meter whose bar has a length, in the longest value that does; null where none has. */
function meterOfLength(ticks: Ticks): Meter | null {
  for (const beatType of [4, 8, 16] as const) {
    const beats = (ticks * beatType) / (4 * TICKS_PER_QUARTER);
    if (Number.isInteger(beats)) return { beats, beatType };
  }
  return null;
}

/** The degrees of each moment from the lowest string up, a bend as start and target (D5). */
function degreesByOnset(p: Phrase): ReadonlyMap<Ticks, string> {
  const all = new Map<Ticks, string>();
  for (const r of [...analyse(p).readings].reverse()) {
    const start = formatDegree(r.start.chordDegree ?? r.start.keyDegree);
    const heard = formatDegree(r.heard.chordDegree ?? r.heard.keyDegree);
    const text = r.heard.pitch === r.start.pitch ? start : `${start}-${heard}`;
    const before = all.get(r.at.onset);
    all.set(r.at.onset, before === undefined ? text : `${before} ${text}`);
  }
  return all;
}

function sameMeter(a: Meter, b: Meter | null): boolean {
  return b !== null && a.beats === b.beats && a.beatType === b.beatType;
}

/** Numerator, power of two, MIDI clocks to a click (24 a quarter), 32nds to a quarter. */
function meterBytes(m: Meter): readonly number[] {
  const clocks = (isCompound(m) ? 3 : 1) * (96 / m.beatType);
  return [m.beats, Math.round(Math.log2(m.beatType)), clocks, 8];
}

function u24(n: number): readonly number[] {
  return [(n >> 16) & 0xff, (n >> 8) & 0xff, n & 0xff];
}

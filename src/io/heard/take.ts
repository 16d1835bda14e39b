import { type HeardMoment, momentsOf } from '../../core/heard/moments';
import { findBeat, looseness, phaseOf, type TempoReading } from '../../core/heard/tempo';
import { offTuning } from '../../core/heard/tuning';
import type { Heard } from '../../core/heard/types';
import { parseLane } from '../../core/move/lane';
import type { LaneChord } from '../../core/move/request';
import { STANDARD_GUITAR } from '../../core/phrase/instrument';
import { beatTicks, isCompound, meterTicks } from '../../core/phrase/time';
import type { Feel, Instrument, Meter, Tempo, Ticks } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import type { Key } from '../../core/theory/key';
import type { ProposedKey } from '../midi-in/key-found';
import {
  type Exactness,
  type GridBeat,
  gridOf,
  type Loose,
  placeAfter,
  placed,
} from '../midi-in/quantise';
import { evened, findSwing } from '../midi-in/swing-found';
import { inRange, keysHeard } from './keys';
import { type HeardEvent, linesOfHeard, type PlacedMoment } from './lines';
import { askedFor, type OtherPlace, otherPlaces, withBeats } from './other-rhythm';

export interface WriteHeardOptions {
  /** Beats a minute, in the beats of the meter; found where absent. */
  readonly bpm?: number;
  /** 4/4 where absent; whether its beats are dotted is not found. */
  readonly meter?: Meter;
  readonly key?: Key;
  /** A lane of chords, symbols or numerals, that goes round as long as is played. */
  readonly lane?: string;
  readonly instrument?: Instrument;
  /** Seconds at which the first bar begins; found where absent. */
  readonly start?: number;
  /** Keys of unsure rhythms (`RhythmDoubt`) that are written as the second-best one. */
  readonly otherwise?: readonly number[];
}

/** All that was played, on one grid of bars: what phrases are cut out of. */
export interface Take {
  readonly tempo: Tempo;
  /** Whether the tempo was found and not said. */
  readonly found: boolean;
  /** How well the onsets lie on the beat, 0 to 1. */
  readonly fit: number;
  /** Where the tempo was found: others in which the same can be read, the likeliest first. */
  readonly readings: readonly TempoReading[];
  /** Seconds at which tick 0, the beginning of the first bar, lies. */
  readonly start: number;
  readonly secondsPerTick: number;
  readonly meter: Meter;
  readonly feel: Feel;
  readonly key: Key;
  readonly keyFound: boolean;
  /** Where the key was found: it and others that it may be, the likeliest first. */
  readonly keys: readonly ProposedKey[];
  /** The bars of the lane, empty without one. */
  readonly lane: readonly (readonly LaneChord[])[];
  readonly instrument: Instrument;
  /** By how much the instrument is tuned beside 440 Hz, in semitones. */
  readonly off: number;
  readonly lines: readonly (readonly HeardEvent[])[];
  readonly grid: readonly GridBeat[];
}

const USUAL_METER: Meter = { beats: 4, beatType: 4 };
/** What a hand may be off, in seconds: no less and no more than these. */
const LEAST_LOOSE = 0.008;
const MOST_LOOSE = 0.026;
/** An end says little of the rhythm: strings die away. */
const END_WEIGHT = 0.03;
const MOST_MOMENTS = 20_000;

/** What was heard, put into bars: tempo, swing and rhythm, lines, key. */
export function takeOf(heard: Heard, o: WriteHeardOptions): Result<Take> {
  const instrument = o.instrument ?? STANDARD_GUITAR;
  const off = offTuning(heard.notes);
  const notes = inRange(heard.notes, instrument, off);
  if (notes.length === 0) {
    return fail({
      message: heard.notes.length === 0 ? 'no note was heard' : 'no note lies on the instrument',
      fix: 'Play nearer to the microphone, or louder, and without other instruments.',
    });
  }
  if (notes.length > MOST_MOMENTS) {
    return fail({ message: 'this is too long to be written', fix: 'Cut the recording in pieces.' });
  }
  const meter = o.meter ?? USUAL_METER;
  const onsets = distinct(notes.map((n) => n.onset));
  const beat = beatOf(onsets, o, isCompound(meter));
  const secondsPerBeat = 60 / beat.bpm;
  const secondsPerTick = secondsPerBeat / beatTicks(meter);
  const start = o.start ?? startOf(onsets, beat.phase, secondsPerBeat);
  const loose = looseness(onsets, secondsPerBeat, beat.phase);
  const sigma = Math.min(MOST_LOOSE, Math.max(LEAST_LOOSE, 1.3 * loose)) / secondsPerTick;
  const onGrid = (at: number) => {
    const x = (at - beat.phase) / secondsPerBeat;
    return Math.min(...[4, 3].map((p) => Math.abs(x * p - Math.round(x * p)) / p));
  };
  const moments = momentsOf(notes, secondsPerBeat, onGrid);
  const ticks = (seconds: number) => Math.max(0, (seconds - start) / secondsPerTick);
  const { swing, even } = swingOf(
    moments.map((m) => ticks(m.onset)),
    meter,
    sigma,
  );
  const otherwise = new Set(o.otherwise);
  const { grid, lines } = written(moments, { meter, sigma, secondsPerTick, otherwise }, (seconds) =>
    even(ticks(seconds)),
  );
  const keys =
    o.key === undefined ? keysHeard(heard.notes, { instrument, secondsPerTick, lane: o.lane }) : [];
  const key = o.key ?? keys[0]!.key;
  const lane = o.lane === undefined ? ok([]) : parseLane(o.lane, key);
  if (!lane.ok) return lane;
  return ok({
    tempo: { bpm: Math.round(beat.bpm * 100) / 100, unit: unitOf(meter) },
    found: o.bpm === undefined,
    fit: beat.fit,
    readings: beat.others,
    start,
    secondsPerTick,
    meter,
    feel: swing === null ? { kind: 'straight' } : swing.feel,
    key,
    keyFound: o.key === undefined,
    keys,
    lane: lane.value,
    instrument,
    off,
    lines,
    grid,
  });
}

/** Swing, and where a moment was written before it was swung. */
function swingOf(onsets: readonly Ticks[], meter: Meter, sigma: number) {
  const swing = isCompound(meter) ? null : findSwing(onsets, sigma);
  if (swing === null) return { swing, even: (at: Ticks) => at };
  const { pair, late } = swing;
  const exact = Math.min(MOST_LATE * pair, LATE * sigma);
  const pairOf = (at: Ticks) => Math.floor((at + exact) / pair);
  // A pair that has a note in its first half is a triplet, or finer notes.
  const early = onsets.filter((at) => {
    const place = at / pair - pairOf(at);
    return place > exact / pair && place < late - exact / pair;
  });
  const whole = new Set(early.map(pairOf));
  const even = (at: Ticks) => (whole.has(pairOf(at)) ? at : evened(at, swing, exact));
  return { swing, even };
}

/** How far beside the late place a swung note may lie: so many times what a hand is off, at most so much of a pair. */
const LATE = 2.8;
const MOST_LATE = 0.14;

/** No part of a beat is finer than so many times what a hand is off: it could not be told from its neighbour. */
const FINEST = 2.6;

interface WrittenHow {
  readonly meter: Meter;
  readonly sigma: number;
  readonly secondsPerTick: number;
  readonly otherwise: ReadonlySet<number>;
}

/** The moments on a grid of beats, as lines of events. */
function written(
  moments: readonly HeardMoment[],
  o: WrittenHow,
  even: (seconds: number) => Ticks,
): Pick<Take, 'grid' | 'lines'> {
  const { otherwise } = o;
  const loosed = moments.flatMap((m): Loose[] => [
    { at: even(m.onset), weight: 1 },
    { at: even(Math.max(...m.notes.map((n) => n.end))), weight: END_WEIGHT },
  ]);
  const last = Math.max(...loosed.map((l) => l.at));
  const exact = { sigma: o.sigma, least: FINEST * o.sigma };
  const beats = beatsTo(last + meterTicks(o.meter), o.meter);
  const likeliest = gridOf(beats, loosed, exact.sigma, exact.least);
  const others = othersOf(moments, { beats, grid: likeliest, loosed, exact }, even);
  const asked = moments.flatMap((m) => {
    const other = askedFor('place', m.notes, otherwise).taken ? others.get(m) : undefined;
    return other === undefined ? [] : [other.beats];
  });
  const grid = withBeats(likeliest, asked);
  const c = {
    place: (seconds: number) => placed(grid, even(seconds)),
    after: (at: Ticks) => placeAfter(grid, at),
    heardAt: even,
    secondsPerTick: o.secondsPerTick,
    otherwise,
  };
  const place = (m: HeardMoment): PlacedMoment => {
    const at = c.place(m.onset);
    const other = others.get(m);
    if (other === undefined) return { ...m, at };
    const asked = askedFor('place', m.notes, otherwise);
    const instead = asked.taken ? placed(likeliest, even(m.onset)) : other.at;
    // Asked for beside another of its beat it may not have gone there.
    if (instead === at) return { ...m, at };
    return { ...m, at, doubt: { of: 'place', other: instead - at, ...asked } };
  };
  return { grid, lines: linesOfHeard(apart(moments.map(place), c.after), c) };
}

/** The second-best place of each moment that has one nearly as good. */
function othersOf(
  moments: readonly HeardMoment[],
  o: {
    readonly beats: readonly { readonly at: Ticks; readonly end: Ticks }[];
    readonly grid: readonly GridBeat[];
    readonly loosed: readonly Loose[];
    readonly exact: Exactness;
  },
  even: (seconds: number) => Ticks,
): ReadonlyMap<HeardMoment, OtherPlace> {
  const { beats, grid, exact } = o;
  const length = (beats[0]?.end ?? 1) - (beats[0]?.at ?? 0);
  const beatOf = (at: number) => Math.min(beats.length - 1, Math.floor(at / length));
  // What lies near the end of a beat has a say in the next one, too.
  const loose = beats.map((): Loose[] => []);
  for (const l of o.loosed) {
    const all = [l.at - exact.sigma, l.at, l.at + exact.sigma].map((at) => beatOf(Math.max(0, at)));
    for (const i of new Set(all)) loose[i]!.push(l);
  }
  const struck = beats.map((): HeardMoment[] => []);
  for (const m of moments) struck[beatOf(even(m.onset))]!.push(m);
  const out = new Map<HeardMoment, OtherPlace>();
  for (const [i, own] of struck.entries()) {
    if (own.length === 0) continue;
    const at = own.map((m) => even(m.onset));
    const found = otherPlaces({ ...beats[i]!, moments: at, loose: loose[i]! }, grid, exact);
    const near = [...(struck[i - 1] ?? []).slice(-1), ...own, ...(struck[i + 1] ?? []).slice(0, 1)];
    const places = (g: readonly GridBeat[]) =>
      new Set(near.map((m) => placed(g, even(m.onset)))).size;
    for (const [k, other] of found.entries()) {
      // What would be struck together then could not be told apart again.
      if (other === null || places(withBeats(grid, [other.beats])) < places(grid)) continue;
      out.set(own[k]!, other);
    }
  }
  return out;
}

/** Onsets of moments: strings struck together count once. */
function distinct(onsets: readonly number[]): readonly number[] {
  return onsets.filter((t, i) => i === 0 || t - onsets[i - 1]! > 0.03);
}

/** Beats a minute where nothing can be found: too few notes. */
const USUAL_BPM = 100;

function beatOf(onsets: readonly number[], o: WriteHeardOptions, threes: boolean) {
  if (o.bpm !== undefined) {
    const known = o.start === undefined ? null : o.start % (60 / o.bpm);
    const found = phaseOf(onsets, 60 / o.bpm);
    return { bpm: o.bpm, phase: known ?? found.phase, fit: found.fit, others: [] };
  }
  const phase = (onsets[0] ?? 0) % (60 / USUAL_BPM);
  return findBeat(onsets, threes) ?? { bpm: USUAL_BPM, phase, fit: 0, others: [] };
}

/** The first bar begins with the recording where its beats do, else with the beat of the first note. */
function startOf(onsets: readonly number[], phase: number, beat: number): number {
  const first = onsets[0] ?? 0;
  if (phase === 0 && first < 2.5 * beat) return 0;
  return phase + beat * Math.floor((first - phase) / beat + 0.1);
}

function unitOf(meter: Meter): Tempo['unit'] {
  if (isCompound(meter)) return 'dotted-quarter';
  return meter.beatType === 2 ? 'half' : meter.beatType === 8 ? 'eighth' : 'quarter';
}

function beatsTo(end: Ticks, meter: Meter): readonly { at: Ticks; end: Ticks }[] {
  const beat = beatTicks(meter);
  const bars = Math.ceil(end / meterTicks(meter));
  const count = Math.round((bars * meterTicks(meter)) / beat);
  return Array.from({ length: count }, (_, i) => ({ at: i * beat, end: (i + 1) * beat }));
}

/** Moments one after the other: two at one place are a grace and its note, or the later comes later. */
function apart(
  moments: readonly PlacedMoment[],
  after: (at: Ticks) => Ticks,
): readonly PlacedMoment[] {
  const out: PlacedMoment[] = [];
  for (const m of moments) {
    const before = out.at(-1);
    if (before === undefined || m.at > before.at) {
      out.push(m);
      continue;
    }
    const single = before.notes.length === 1 && m.notes.length === 1;
    if (single && before.notes[0]!.end - before.onset < MOST_GRACE) {
      out.pop();
      out.push({ ...m, at: before.at, graces: [...before.graces, ...before.notes, ...m.graces] });
    } else if (before.notes.every((n) => m.notes.every((k) => Math.abs(n.pitch - k.pitch) > 0.6))) {
      out.pop();
      out.push({ ...before, notes: [...before.notes, ...m.notes] });
    } else out.push({ ...m, at: after(before.at) });
  }
  return out;
}

/** Seconds. */
const MOST_GRACE = 0.14;

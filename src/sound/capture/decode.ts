import type { Heard, HeardNote } from '../../core/heard/types';
import { calibrated } from './calibrate';
import type { Posteriors } from './network';
import { FRAME, PITCHES } from './network-shape';
import { kth, mean, median, sigmoid } from './numbers';
import { octaveOf, octavesOver, type Peak } from './octaves';
import { Others } from './others';
import { stringShares } from './string-shares';
import { joinGraces, type Traced, techniquesOf } from './techniques';
import { toUnisons } from './unisons';

/** An onset is one where the network gives it more than this: the best on synthetic validation. */
const ONSET = 0.5;
/** An onset of more than this is one beside a higher one in the next row too: a bend by a semitone up to a string struck with it. */
const CLEAR = 0.8;
/** A pitch sounds where the network gives it more than this. */
const SOUNDING = 0.35;
/** Frames that a note may be lost before it has ended, and that it may take to be heard at all. */
const GAP = 3;
const WAIT = 9;
/** Seconds under which nothing is a note. */
const SHORTEST = 0.05;
/** A pitch that moves to the next row goes no further than this at once, in semitones. */
const STEP = 0.75;

/** A note while it is followed. */
interface Followed extends Peak {
  now: number;
  missed: number;
  last: number;
  ended: boolean;
  readonly frames: number[];
  readonly rows: number[];
  readonly midi: number[];
}

/**
 * Notes out of what the network says, all pitches together: each begins at a peak of its onsets and is
 * followed from row to row, so that a bend, a slide or a vibrato stays one note with a curve.
 */
export function decode(p: Posteriors): Heard {
  const onset = new Float32Array(p.frames * PITCHES);
  const sounds = new Float32Array(p.frames * PITCHES);
  for (let i = 0; i < onset.length; i++) {
    onset[i] = sigmoid(p.values[i * 16]!);
    sounds[i] = sigmoid(p.values[i * 16 + 1]!);
  }
  const peaks = peaksOf(p.frames, onset);
  const followed = follow(p, [...peaks, ...octavesOver(peaks, onset)], sounds);
  const traced = followed.flatMap((n) => {
    const { doubles } = n;
    if (doubles === undefined) return trace(p, n);
    const low = followed.find((q) => q.frame === doubles.frame && q.row === doubles.row)!;
    return trace(p, low).map((l) => octaveOf(p, l, low.rows, n.share));
  });
  traced.sort((a, b) => a.onset - b.onset || a.pitch - b.pitch);
  const dead = deadOf(p);
  const notes = joinGraces(toUnisons(techniquesOf(traced, p, sounds)));
  const struck = notes.filter((n) => !isOfDead(n, dead));
  const others = new Others(p, onset, sounds, traced);
  return {
    notes: struck.map((n) => ({ ...asHeard(n), others: others.of(n) })),
    dead,
    seconds: p.frames * FRAME,
  };
}

/** Local peaks in time that no neighbouring semitone has higher, or that are clear themselves. */
function peaksOf(frames: number, onset: Float32Array): readonly Peak[] {
  const at = (t: number, r: number) =>
    t < 0 || t >= frames || r < 0 || r >= PITCHES ? 0 : onset[t * PITCHES + r]!;
  const most = (r: number, from: number, to: number) => {
    let value = 0;
    for (let t = from; t <= to; t++) value = Math.max(value, at(t, r));
    return value;
  };
  const peaks: Peak[] = [];
  for (let t = 0; t < frames; t++)
    for (let r = 0; r < PITCHES; r++) {
      const v = at(t, r);
      if (v <= ONSET || v < most(r, t - 3, t + 3) || (t > 0 && v === at(t - 1, r))) continue;
      const beside = Math.max(most(r - 1, t - 2, t + 2), most(r + 1, t - 2, t + 2));
      if (beside > v && v < CLEAR) continue;
      // The top of the parabola through three frames.
      const before = at(t - 1, r);
      const after = at(t + 1, r);
      const bow = before - 2 * v + after;
      const shift = bow < 0 ? (0.5 * (before - after)) / bow : 0;
      const near = Math.max(-0.5, Math.min(0.5, shift));
      peaks.push({ frame: t, at: t + near, row: r, share: v });
    }
  return peaks;
}

function offsetAt(p: Posteriors, t: number, r: number): number {
  return Math.max(-0.6, Math.min(0.6, p.values[(t * PITCHES + r) * 16 + 2]!));
}

function follow(p: Posteriors, peaks: readonly Peak[], sounds: Float32Array): readonly Followed[] {
  const byFrame = new Map<number, Peak[]>();
  for (const k of peaks) byFrame.set(k.frame, [...(byFrame.get(k.frame) ?? []), k]);
  const all: Followed[] = [];
  let active: Followed[] = [];
  const put = (n: Followed, t: number, r: number) => {
    n.now = r;
    n.missed = 0;
    n.last = t;
    n.frames.push(t);
    n.rows.push(r);
    n.midi.push(r + p.lowest + offsetAt(p, t, r));
  };
  for (let t = 0; t < p.frames; t++) {
    for (const k of byFrame.get(t) ?? []) {
      // What is struck again has ended.
      for (const n of active) if (n.now === k.row && t - n.frame > 2) n.ended = true;
      const n: Followed = {
        ...k,
        now: k.row,
        missed: 0,
        last: t,
        ended: false,
        frames: [],
        rows: [],
        midi: [],
      };
      active.push(n);
      all.push(n);
    }
    active = active.filter((n) => !n.ended);
    const taken = new Set(active.map((n) => n.now));
    for (const n of active) {
      if (sounds[t * PITCHES + n.now]! >= SOUNDING) {
        put(n, t, n.now);
        continue;
      }
      const next = nextRow(p, sounds, n, t, taken);
      if (next !== null) {
        taken.delete(n.now);
        taken.add(next);
        put(n, t, next);
        continue;
      }
      n.missed += 1;
      if (n.missed > (n.midi.length > 0 ? GAP : WAIT)) n.ended = true;
    }
  }
  return all;
}

/** The row above or below to which a sounding pitch has moved; null where it has not. */
function nextRow(
  p: Posteriors,
  sounds: Float32Array,
  n: Followed,
  t: number,
  taken: ReadonlySet<number>,
): number | null {
  const from = n.midi.at(-1);
  if (from === undefined || t <= n.frame) return null;
  const at = (frame: number, r: number) => sounds[frame * PITCHES + r]!;
  let best: number | null = null;
  for (const r of [n.now - 1, n.now + 1]) {
    if (r < 0 || r >= PITCHES || taken.has(r) || at(t, r) < SOUNDING) continue;
    if (Math.abs(r + p.lowest + offsetAt(p, t, r) - from) >= STEP) continue;
    // What sounded there before is another note.
    if (t >= 3 && at(t - 3, r) >= SOUNDING && n.missed === 0) continue;
    if (best === null || at(t, r) > at(t, best)) best = r;
  }
  return best;
}

function trace(p: Posteriors, n: Followed): readonly Traced[] {
  const onset = n.at * FRAME;
  const end = (n.last + 1) * FRAME;
  if (n.midi.length === 0 || end - onset < SHORTEST) return [];
  const at = (t: number, r: number, i: number) => p.values[(t * PITCHES + r) * 16 + i]!;
  const attacks = [0, 0, 0, 0];
  for (let t = Math.max(0, n.frame - 1); t < Math.min(p.frames, n.frame + 2); t++) {
    const e = [3, 4, 5, 6].map((i) => Math.exp(at(t, n.row, i)));
    const sum = e.reduce((a, b) => a + b, 0);
    e.forEach((v, i) => {
      attacks[i]! += v / sum / 3;
    });
  }
  const flag = (i: number) => n.frames.map((t, k) => sigmoid(at(t, n.rows[k]!, i)));
  return [
    {
      onset,
      end,
      frame: n.frame,
      row: n.row,
      pitch: median(n.midi),
      start: median(n.midi.slice(0, 3)),
      confidence: n.share,
      attacks,
      bends: kth(flag(7), 5),
      shakes: kth(flag(8), 7),
      muted: mean(flag(10)) > 0.5,
      frames: n.frames,
      midi: n.midi,
      strings: stringShares(p, n.frames, n.rows),
    },
  ];
}

function asHeard(
  n: Traced & Pick<HeardNote, 'attack' | 'bend' | 'vibrato' | 'slideIn' | 'slideOut'>,
): HeardNote {
  const { onset, end, pitch, start, attack, muted, confidence, strings } = n;
  return {
    onset,
    end,
    pitch,
    start,
    attack,
    muted,
    confidence: calibrated(confidence),
    strings,
    curve: n.midi.map((midi, i) => ({ at: n.frames[i]! * FRAME, midi })),
    ...(n.bend === undefined ? {} : { bend: n.bend }),
    ...(n.vibrato === undefined ? {} : { vibrato: n.vibrato }),
    ...(n.slideIn === undefined ? {} : { slideIn: n.slideIn }),
    ...(n.slideOut === undefined ? {} : { slideOut: n.slideOut }),
  };
}

/** A dead stroke may have so much of a pitch: seconds beside it, seconds long, and how sure. */
const OF_DEAD = { near: 0.03, longest: 0.13, sure: 0.75 };

/** Whether a note is no more than what sounds of a stroke on damped strings. */
export function isOfDead(n: Traced, dead: Heard['dead']): boolean {
  if (n.confidence >= OF_DEAD.sure || n.end - n.onset > OF_DEAD.longest) return false;
  return dead.some((d) => Math.abs(d.onset - n.onset) <= OF_DEAD.near);
}

function deadOf({ frames, dead }: Posteriors): Heard['dead'] {
  const out: { onset: number; confidence: number }[] = [];
  for (let t = 1; t < frames - 1; t++) {
    const v = sigmoid(dead[t]!);
    if (v > 0.5 && v >= sigmoid(dead[t - 1]!) && v > sigmoid(dead[t + 1]!)) {
      out.push({ onset: t * FRAME, confidence: v });
    }
  }
  return out;
}

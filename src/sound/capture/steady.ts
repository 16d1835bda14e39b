import type { Heard, HeardNote } from '../../core/heard/types';
import { RATE } from './network-shape';
import { kth } from './numbers';

/** Seconds of sound in which a level is measured, and from one measurement to the next. */
const WINDOW = 0.4;
const HOP = 0.2;
/** Seconds from where a note begins in which a steady tone does not get softer; in less nothing is said of it. */
const LOOKED_AT = 3;
const LEAST = 1.8;
/** Seconds of an attack. */
const ATTACK = 0.05;
/** A level is steady within this, in dB around the level that a quarter lies under, for so much of the time. */
const WITHIN = 1;
const SHARE = 0.6;

/**
 * What was heard without what is no playing: mains hum, or a fan, computer or lamp with a tone of its own. A string that
 * is plucked gets softer from its first moment, by 2 to 3 dB a second at the least (a string that takes 20 to 30 s to be
 * gone by 60 dB, longer than a guitar's: *from memory*); what stays as loud as it was for seconds is none.
 * A tone that is kept up on purpose, by feedback or a bow of magnets, goes with it, and that is said (`steadyRemarks`).
 * @param samples What was heard, at `RATE`.
 */
export function withoutSteady(heard: Heard, samples: Float32Array): Heard {
  const gone = new Set(heard.notes.filter((n) => isSteady(n, samples)));
  if (gone.size === 0) return heard;
  const steady = [...new Set([...gone].map((n) => Math.round(hertz(n.pitch))))];
  return { ...heard, notes: heard.notes.filter((n) => !gone.has(n)), steady };
}

/** What is said of steady tones, in plain words without a full stop. */
export function steadyRemarks({ steady = [] }: Pick<Heard, 'steady'>): readonly string[] {
  return steady.map(
    (hz) => `a steady tone of about ${hz} Hz that never gets softer, as hum does, is left out`,
  );
}

function isSteady(n: HeardNote, samples: Float32Array): boolean {
  if (n.attack !== 'pluck' || n.bend !== undefined || n.vibrato !== undefined) return false;
  const from = n.onset + ATTACK;
  const until = Math.min(samples.length / RATE, Math.max(n.end, from + LOOKED_AT));
  if (until - from < LEAST) return false;
  const levels: number[] = [];
  for (let at = from; at + WINDOW <= until; at += HOP) {
    levels.push(level(samples, at, hertz(n.pitch)));
  }
  const usual = kth(levels, Math.ceil(0.75 * levels.length));
  const steady = levels.map((v) => Math.abs(v - usual) <= WITHIN);
  const own = Math.max(1, Math.floor((n.end - from - WINDOW) / HOP) + 1);
  return mostOf(steady) && mostOf(steady.slice(0, own));
}

function mostOf(list: readonly boolean[]): boolean {
  return list.filter(Boolean).length >= SHARE * list.length;
}

function hertz(midi: number): number {
  return 440 * 2 ** ((midi - 69) / 12);
}

const SHAPE = Float64Array.from(
  { length: Math.round(WINDOW * RATE) },
  (_, i) => Math.sin((Math.PI * i) / (WINDOW * RATE)) ** 2,
);

/** How loud one frequency is from a moment on, in dB; the pointer turns by multiplication, which is quicker. */
function level(samples: Float32Array, at: number, hz: number): number {
  const from = Math.round(at * RATE);
  const [c, s] = [Math.cos((2 * Math.PI * hz) / RATE), Math.sin((2 * Math.PI * hz) / RATE)];
  let [re, im, x, y] = [1, 0, 0, 0];
  for (let i = 0; i < SHAPE.length; i++) {
    const v = (samples[from + i] ?? 0) * SHAPE[i]!;
    x += v * re;
    y += v * im;
    const turned = re * c - im * s;
    im = re * s + im * c;
    re = turned;
  }
  return 20 * Math.log10(Math.max(1e-9, Math.hypot(x, y) / SHAPE.length));
}

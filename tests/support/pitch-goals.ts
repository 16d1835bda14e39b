import { PitchDetector } from 'pitchy';
import type { Phrase } from '../../src/core/phrase/types';
import { centsAt } from '../../src/core/sound/curve';
import { perform } from '../../src/core/sound/perform';
import type { Sound } from '../../src/core/sound/types';

export const RATE = 44_100;
const TEMPO = { tempo: { bpm: 90, unit: 'quarter' } } as const;
export const BUILT = TEMPO;

/** Standard tuning, string 1 first. */
const OPEN = [64, 59, 55, 50, 45, 40];
const NAMES = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];

const nameOf = (midi: number) => `${NAMES[midi % 12]}${Math.floor(midi / 12) - 1}`;

/** A technique at a place, as a line of the builder's text. */
export interface Case {
  readonly name: string;
  readonly text: string;
  /** What must hold: a steady pitch, a curve that moves, or only that it is reported. */
  readonly goal: 'steady' | 'moving' | 'reported';
  /** The pitch that is reached in the end, as a MIDI number, counted from the notation alone. */
  readonly target?: number;
}

/** Every technique with a pitch, on a string at a fret from 2 up to 17. */
export function casesAt(string: number, fret: number): readonly Case[] {
  const midi = OPEN[string - 1]! + fret;
  const at = `${string}/${fret}`;
  const up = (by: number) => nameOf(midi + by);
  const steady = (name: string, text: string, target = midi): Case => ({
    name,
    text,
    goal: 'steady',
    target,
  });
  const moving = (name: string, text: string, target?: number): Case => ({
    name,
    text,
    goal: 'moving',
    ...(target === undefined ? {} : { target }),
  });
  return [
    steady('plucked', `h ${at}`),
    steady('let ring', `h ${at}(ring)`),
    steady('hammer-on', `q ${at} h ${string}/${fret + 2}(h)`, midi + 2),
    steady('pull-off', `q ${string}/${fret + 2} h ${at}(p)`),
    steady('tap', `h ${at}(tap)`),
    steady('natural harmonic', `h ${string}/12(nat:12)`, OPEN[string - 1]! + 12),
    steady('artificial harmonic', `h ${at}(art:12)`, midi + 12),
    steady('pre-bend', `h ${at}(pre:${up(2)})`, midi + 2),
    moving('bend, whole tone', `h ${at}(bend:${up(2)})`, midi + 2),
    moving('bend, half tone', `h ${at}(bend:${up(1)})`, midi + 1),
    // Thick strings are not bent so far.
    ...(string <= 3 ? [moving('bend, minor third', `h ${at}(bend:${up(3)})`, midi + 3)] : []),
    moving('bend and release', `w ${at}(rel:${up(2)})`),
    moving('pre-bend and release', `h ${at}(prerel:${up(2)})`),
    moving('curl', `h ${at}(curl)`),
    moving('vibrato', `h ${at}(vib)`),
    moving('vibrato, wide', `h ${at}(vib:wide)`),
    moving('slide', `q ${at} h ${string}/${fret + 4}(s)`, midi + 4),
    moving('slide in', `h ${at}(in:-1)`, midi),
    moving('bar dip', `h ${at}(dip:2)`),
    // Too short for a tracker's window to be exact about.
    { name: 'palm mute', text: `q ${at}@pm`, goal: 'reported' },
    { name: 'pinch harmonic', text: `h ${at}(pinch:24)`, goal: 'reported' },
  ];
}

/** What was heard against what is written, in cents. */
export interface Measured {
  /** Every window's difference from the written curve. */
  readonly off: readonly number[];
  /** Difference of the end from the target, windows of the last 0.3 s. */
  readonly end: readonly number[];
  /** Windows of which the tracker gives a period that they hold less than twice. */
  readonly slips: number;
  /** Milliseconds from the written onset to the sound's beginning. */
  readonly onset: number;
}

/** Windows of 46 ms, every 10 ms, as the tracker reads them (pitchy 4.1.0, McLeod's method). */
const WINDOW = 2048;
const HOP = 441;
/** Seconds near a sound's ends where a window would hear two of them. */
const EDGE = 0.06;
/**
 * A window holds the period of what is lower than this less than twice, and the tracker compares only what is left:
 * of a driven tap it said 21.57 Hz, a period of 2,044 samples, so by four of them. No guitar is so low.
 */
const LEAST_HERTZ = (2 * RATE) / WINDOW;
/** Of a steady note no more than this share, and of a moving one: a wide vibrato on the lowest string has 21 in 100. */
const MOST_SLIPS = { steady: 0.05, moving: 0.25 };
/** A window quieter than this, against the loudest, is not measured. */
const QUIET = 0.003;

export function measure(p: Phrase, samples: Float32Array, target: number | undefined): Measured {
  const { sounds } = perform(p);
  const detector = PitchDetector.forFloat32Array(WINDOW);
  const off: number[] = [];
  const end: number[] = [];
  let slips = 0;
  const loudest = peakOf(samples);
  const last = sounds.at(-1)!;
  const over = Math.min(last.onset + last.length, samples.length / RATE);
  for (let o = 0; o + WINDOW <= samples.length; o += HOP) {
    const at = (o + WINDOW / 2) / RATE;
    const s = sounds.find((x) => at > x.onset + EDGE && at < x.onset + x.length - EDGE);
    if (s === undefined) continue;
    if (peakOf(samples.subarray(o, o + WINDOW)) < QUIET * loudest) continue;
    const [hertz] = detector.findPitch(samples.subarray(o, o + WINDOW), RATE);
    if (hertz < LEAST_HERTZ) {
      slips++;
      continue;
    }
    const midi = 69 + 12 * Math.log2(hertz / 440);
    off.push(Math.abs(100 * (midi - s.midi) - written(s, at - s.onset)));
    if (target !== undefined && s === last && at > over - EDGE - 0.3) {
      end.push(Math.abs(100 * (midi - target)));
    }
  }
  return { off, end, slips, onset: 1000 * (firstSound(samples) - sounds[0]!.onset) };
}

/**
 * What a tracker's window hears of a written curve: it compares every sample but those of the last period
 * with the one a period later, so it hears a mean over both lengths. A wide vibrato's swing is some
 * hundredths less.
 */
function written(s: Sound, at: number): number {
  const middle = centsAt(s, at);
  const period = 1 / (440 * 2 ** ((s.midi + middle / 100 - 69) / 12));
  const rest = WINDOW / RATE - period;
  let sum = 0;
  for (let i = 0; i < 12; i++) {
    for (let k = 0; k < 4; k++) {
      sum += centsAt(s, at + ((i + 0.5) / 12 - 0.5) * rest + ((k + 0.5) / 4 - 0.5) * period);
    }
  }
  return sum / 48;
}

function peakOf(x: Float32Array): number {
  let peak = 0;
  for (const v of x) peak = Math.max(peak, Math.abs(v));
  return peak;
}

/** Seconds at which something is first heard: a hundredth of the loudest of the first 50 ms. */
function firstSound(samples: Float32Array): number {
  const peak = peakOf(samples.subarray(0, Math.round(0.05 * RATE)));
  return samples.findIndex((v) => Math.abs(v) > 0.01 * peak) / RATE;
}

export function quantile(values: readonly number[], q: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN;
}

/** Where the goals are not met: median and worst of each kind, onset. */
export function misses(c: Case, { off, end, slips, onset }: Measured): readonly string[] {
  const said: string[] = [];
  const check = (what: string, value: number, limit: number) => {
    if (!(value <= limit)) said.push(`${what} ${value.toFixed(2)} over ${limit}`);
  };
  if (c.goal === 'steady') {
    check('median', quantile(off, 0.5), 0.5);
    check('worst', quantile(off, 1), 3);
  } else if (c.goal === 'moving') check('median', quantile(off, 0.5), 2);
  if (c.goal === 'steady' || c.goal === 'moving') {
    const share = slips / Math.max(1, off.length + slips);
    check('slips of the tracker', share, MOST_SLIPS[c.goal]);
  }
  // What rings out before its end has no end to measure.
  if (c.target !== undefined && (end.length > 0 || c.name !== 'let ring')) {
    check('target, median', quantile(end, 0.5), 1);
    check('target, worst', quantile(end, 1), 5);
  }
  check('onset', Math.abs(onset), 3);
  return said;
}

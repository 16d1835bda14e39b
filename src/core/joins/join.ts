import { mod } from '../theory/pitch';
import { echo } from './echo';
import type { Sketch } from './sketch';
import { JOIN_WEIGHTS, type JoinFeatures } from './weights';

/** Steps within a major third over the rest cost nothing. */
const FREE_LEAP = 4;

/**
 * @param before The phrase before.
 * @param phrase The phrase that follows.
 * @param semitones How far it is moved, all of it.
 * @param earlier The phrase before the one before, where there is one.
 */
export function joinFeatures(
  before: Sketch,
  phrase: Sketch,
  semitones = 0,
  earlier: Sketch | null = null,
): JoinFeatures {
  const n = phrase.midi.length;
  let figures = 0;
  for (const f of phrase.figures) if (before.hasFigure.has(f)) figures++;
  let heard = 0;
  for (const m of phrase.midi) heard += before.heard[m + semitones] ?? 0;
  let pulse = 0;
  for (let i = 0; i < 4; i++) pulse += Math.abs(phrase.pace[i]! - before.pace[i]!) / 2;
  const first = phrase.midi[0]! + semitones;
  const last = before.midi[before.midi.length - 1]!;
  return {
    leap: Math.max(0, Math.abs(first - last) - FREE_LEAP) / 12,
    register: Math.abs(phrase.head + semitones - before.tail) / 12,
    pitches: heard / n,
    tonesEarlier: earlier === null ? 0 : commonTones(earlier, phrase, semitones),
    echo: echo(before, phrase),
    figures: phrase.figures.length === 0 ? 0 : figures / phrase.figures.length,
    echoEarlier: earlier === null ? 0 : echo(earlier, phrase),
    pulse,
    density: Math.abs(Math.log2(phrase.density / before.density)),
    length: Math.abs(Math.log2(phrase.span / before.span)),
  };
}

function commonTones(a: Sketch, b: Sketch, semitones: number): number {
  let sum = 0;
  for (let i = 0; i < 12; i++) sum += Math.min(b.tones[mod(i - semitones, 12)]!, a.tones[i]!);
  return sum;
}

/** The larger, the better; 0.8 for phrases taken at random, 2.3 for the median of real solos. */
export function joinScore(f: JoinFeatures): number {
  const w = JOIN_WEIGHTS;
  return (
    w.leap * f.leap +
    w.register * f.register +
    w.pitches * f.pitches +
    w.tonesEarlier * f.tonesEarlier +
    w.echo * f.echo +
    w.figures * f.figures +
    w.echoEarlier * f.echoEarlier +
    w.pulse * f.pulse +
    w.density * f.density +
    w.length * f.length
  );
}

/** Score of a join in one go. */
export function join(before: Sketch, phrase: Sketch, semitones = 0, earlier: Sketch | null = null) {
  return joinScore(joinFeatures(before, phrase, semitones, earlier));
}

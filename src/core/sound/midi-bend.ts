import { centsAt } from './curve';
import type { Cents, Seconds, Sound } from './types';

/*
 * The course of a pitch as messages of MIDI 1.0, the same in files and to an instrument that is connected.
 */

/** Ranges that may be declared, in semitones: the smallest that holds every curve. */
const RANGES = [12, 24, 48] as const;

/** Semitones of bend range that hold every curve; 48 where none does. */
export function bendRange(sounds: readonly Sound[]): number {
  let most = 0;
  for (const s of sounds) {
    const dips = s.dips?.reduce((sum, d) => sum + d.depth, 0) ?? 0;
    for (const c of s.curve) {
      most = Math.max(most, Math.abs(c.cents) + Math.abs(s.shake?.depth ?? 0) + dips);
    }
  }
  return RANGES.find((r) => most <= 100 * r) ?? RANGES[2];
}

/** Program and bend range of a channel; RPN 0: MSB, LSB, data entry, then null (MIDI 1.0). */
export function setUpMessages(
  channel: number,
  program: number,
  range: number,
): readonly (readonly number[])[] {
  const control = (number: number, value: number) => [0xb0 | channel, number, value];
  return [
    [0xc0 | channel, program],
    control(101, 0),
    control(100, 0),
    control(6, range),
    control(38, 0),
    control(101, 127),
    control(100, 127),
  ];
}

/** The curve is looked at so often, in seconds; more often where it is steep, so that no step is over a cent. */
const LOOK = 0.000_25;

function lookOf(s: Sound): number {
  let steepest = Math.PI * Math.abs((s.shake?.depth ?? 0) * (s.shake?.hertz ?? 0));
  for (const d of s.dips ?? []) steepest += (2 * d.depth) / d.length;
  let line = 0;
  s.curve.forEach((c, i) => {
    const before = s.curve[i - 1];
    if (before === undefined) return;
    line = Math.max(line, Math.abs(c.cents - before.cents) / (c.at - before.at));
  });
  return Math.min(LOOK, 0.5 / (steepest + line));
}

/** Where the pitch of a sound is another by a cent, from its beginning on; seconds from its onset. */
export function bendSteps(s: Sound): readonly { readonly at: Seconds; readonly cents: Cents }[] {
  const out: { at: Seconds; cents: Cents }[] = [];
  const moves = s.curve.length > 1 || s.shake !== undefined || s.dips !== undefined;
  const look = lookOf(s);
  const steps = moves ? Math.ceil(s.length / look) : 0;
  for (let i = 0; i <= steps; i++) {
    const at = Math.min(s.length, i * look);
    const cents = Math.round(centsAt(s, at));
    if (cents !== out.at(-1)?.cents) out.push({ at, cents });
  }
  return out;
}

/** Pitch bend of 14 bits about 8192, LSB first (MIDI 1.0). */
export function bendMessage(channel: number, cents: number, range: number): readonly number[] {
  const value = Math.max(0, Math.min(16_383, 8192 + Math.round((cents / (100 * range)) * 8192)));
  return [0xe0 | channel, value & 0x7f, value >> 7];
}

import type { HeardNote } from '../../src/core/heard/types';
import type { HeardBack, Sounded } from './caught';

/** What a note that was heard and not played may be, and what one may be that was played and not heard. */
export const FAULTS = [
  'octave for octave',
  'octave beside',
  'again',
  'neighbour',
  'other',
  'missed unison',
  'missed octave',
  'missed again',
  'missed in chord',
  'missed else',
] as const;
export type FaultKind = (typeof FAULTS)[number];

export interface Fault {
  readonly kind: FaultKind;
  /** Seconds. */
  readonly at: number;
  readonly midi: number;
  readonly heard?: HeardNote;
  readonly played?: Sounded;
}

/** Intervals by which a partial of a string is the pitch of another: two, three and four times the frequency. */
const OCTAVES = [12, 19, 24];
const isOctave = (a: number, b: number) => OCTAVES.some((o) => Math.abs(Math.abs(a - b) - o) < 0.6);
const NEAR = 0.06;

/** Faults of a phrase that was played and heard, each by its kind. */
export function faultsOf(back: HeardBack, notes: readonly HeardNote[]): readonly Fault[] {
  const hit = new Set(back.pairs.map(([, h]) => h));
  const found = new Set(back.pairs.map(([r]) => r));
  const missed = back.reference.filter((r, i) => r.note !== undefined && !found.has(i));
  const sounding = (at: number) =>
    back.reference.filter((r) => r.at < at + NEAR && r.at + r.sound.length > at - NEAR);
  const extra = notes
    .filter((_, i) => !hit.has(i))
    .map((heard): Fault => {
      const { onset: at, pitch: midi } = heard;
      const fault = (kind: FaultKind) => ({ kind, at, midi, heard });
      if (missed.some((r) => Math.abs(r.at - at) < NEAR && isOctave(r.plain, midi)))
        return fault('octave for octave');
      const on = sounding(at);
      if (on.some((r) => Math.abs(r.plain - midi) < 0.6 || Math.abs(r.settled - midi) < 0.6))
        return fault('again');
      if (on.some((r) => Math.abs(r.at - at) < 0.1 && isOctave(r.plain, midi)))
        return fault('octave beside');
      if (on.some((r) => Math.abs(r.at - at) < 0.1 && Math.abs(r.plain - midi) < 2.6))
        return fault('neighbour');
      return fault(on.some((r) => isOctave(r.plain, midi)) ? 'octave beside' : 'other');
    });
  const lost = missed.map((played): Fault => {
    const { at, plain: midi } = played;
    const fault = (kind: FaultKind) => ({ kind, at, midi, played });
    const others = sounding(at).filter((r) => r !== played);
    const same = (r: Sounded) => [r.plain, r.settled].some((m) => Math.abs(m - midi) < 0.6);
    if (others.some((r) => same(r) && r.sound.string !== played.sound.string))
      return fault('missed unison');
    if (others.some((r) => same(r) && r.at < at - NEAR)) return fault('missed again');
    const ring = others.find((r) => r.at + r.sound.length >= at - 0.02 && isOctave(r.plain, midi));
    if (ring !== undefined) return fault('missed octave');
    const chord = others.some((r) => Math.abs(r.at - at) < NEAR);
    return fault(chord ? 'missed in chord' : 'missed else');
  });
  return [...extra, ...lost];
}

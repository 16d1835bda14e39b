import { type ChordSymbol, chordSign, isNoChord } from '../theory/chord';
import type { Octaves } from './hand-task';
import { beyondWish, chooseOctaves, shiftOf } from './octave';
import { adapted, type MovePlan, type Segment } from './plan';
import type { Adaptation, OctaveChoice } from './request';

/**
 * What M7 has named: a shift outside the way that was wished, which keeps the line together, and a
 * joint at which the line parts because the instrument ends.
 * @param chosen Whole octaves by segment, as M7 chose them.
 * @param more Whole octaves on top of those, by segment, that the hand asked for; whoever found that
 *   place says why, so that of these segments nothing is said here.
 */
export function sayOctaves(
  plan: MovePlan,
  choice: OctaveChoice,
  chosen: readonly number[],
  more: Octaves,
): readonly Adaptation[] {
  const octaves = chosen.map((k, i) => k + (more[i] ?? 0));
  const unbound = chooseOctaves(plan, choice, { low: -Infinity, high: Infinity });
  const shifts = plan.segments.map((s) => shiftOf(s, octaves[s.index]!));
  const free = plan.segments.map((s) => shiftOf(s, unbound[s.index]!));
  const said: Adaptation[] = [];
  for (const s of plan.segments) {
    const i = s.index;
    if ((more[i] ?? 0) !== 0) continue;
    const shift = shifts[i]!;
    const before = plan.segments[i - 1];
    const apart = before === undefined ? 0 : Math.abs(shift - shifts[i - 1]!);
    const wanted = before === undefined ? 0 : Math.abs(free[i]! - free[i - 1]!);
    if (shift !== free[i]) {
      const parts = apart > wanted && apart > 6;
      const head = parts ? `the line parts before ${nameOf(s)}, which` : nameOf(s);
      const text = `${head} ${went(shift)}, not ${way(free[i]!)}: the instrument ends there`;
      said.push(adapted('M7', text, true));
    } else if (beyondWish(shift, choice) > 0) {
      const text = `${nameOf(s)} ${went(shift)}, ${beyond(shift, choice)}, so that the line stays together`;
      said.push(adapted('M7', text, true));
    }
  }
  return said.filter((a, i) => said.findIndex((b) => b.text === a.text) === i);
}

/** A segment in words: its chords, typeset. */
export function nameOf({ from, to }: Pick<Segment, 'from' | 'to'>): string {
  if (from === '' && to === '') return 'the phrase';
  return from === to ? sign(from) : `${sign(from)} to ${sign(to)}`;
}

function sign(symbol: string): string {
  return isNoChord(symbol) ? 'N.C.' : chordSign(symbol as ChordSymbol);
}

function went(semitones: number): string {
  return semitones === 0 ? 'stays' : `goes ${way(semitones)}`;
}

function way(semitones: number): string {
  const n = Math.abs(semitones);
  if (n === 0) return 'where it was';
  return `${semitones > 0 ? 'up' : 'down'} ${n} ${n === 1 ? 'semitone' : 'semitones'}`;
}

function beyond(shift: number, choice: OctaveChoice): string {
  if (choice === 'nearest') return 'farther than the nearest way';
  const asked = choice === 'up' ? 'up' : 'down';
  const other = choice === 'up' ? shift <= 0 : shift >= 0;
  return other ? `though ${asked} was asked` : 'by more than an octave';
}

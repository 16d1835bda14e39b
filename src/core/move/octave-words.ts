import { beyondWish, chooseOctaves, shiftOf } from './octave';
import { adapted, type MovePlan, type Segment } from './plan';
import type { Adaptation, OctaveChoice } from './request';

/**
 * What M7 has named: a shift outside the way that was wished, which keeps the line together, and a
 * joint at which the line parts because the instrument ends.
 * @param octaves Whole octaves by segment, as they were chosen.
 */
export function sayOctaves(
  plan: MovePlan,
  choice: OctaveChoice,
  octaves: readonly number[],
): readonly Adaptation[] {
  const unbound = chooseOctaves(plan, choice, { low: -Infinity, high: Infinity });
  const shifts = plan.segments.map((s) => shiftOf(s, octaves[s.index]!));
  const free = plan.segments.map((s) => shiftOf(s, unbound[s.index]!));
  const said: Adaptation[] = [];
  for (const s of plan.segments) {
    const i = s.index;
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

function nameOf(s: Segment): string {
  if (s.from === '' && s.to === '') return 'the phrase';
  return s.from === s.to ? s.from : `${s.from} to ${s.to}`;
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

import { layLane, parseLane } from '../move/lane';
import type { LaneChord } from '../move/request';
import { meterTicks } from '../phrase/time';
import { fail, ok, type Problem, type Result } from '../result';
import type { Key } from '../theory/key';
import type { PitchClass } from '../theory/pitch';
import type { Form } from './types';

/** A form in a key: its bars with chords instead of numerals. */
export interface LaidForm {
  readonly form: Form;
  readonly key: Key;
  /** Chords of every bar, sharing its beats; as many as the form has bars. */
  readonly bars: readonly (readonly LaneChord[])[];
  /** Numbers of the bars, from 1, with which sections begin. */
  readonly sectionStarts: readonly number[];
}

/**
 * Lays a form out in a key; the key takes the form's mode.
 * @returns Its bars; or which numeral of which bar is none.
 */
export function layForm(form: Form, tonic: PitchClass): Result<LaidForm> {
  const key: Key = { tonic, mode: form.mode };
  const bars: (readonly LaneChord[])[] = [];
  const sectionStarts: number[] = [];
  for (const section of form.sections) {
    sectionStarts.push(bars.length + 1);
    // A stroke at the end makes a single bar of several numerals.
    const read = parseLane(section.bars.includes('|') ? section.bars : `${section.bars} |`, key);
    if (!read.ok) {
      const inForm = (p: Problem) => (p.bar === undefined ? p : { ...p, bar: bars.length + p.bar });
      return fail(...read.problems.map(inForm));
    }
    bars.push(...read.value);
  }
  // A bar of more symbols than beats shows only when they are laid out.
  const length = meterTicks(form.meter) * bars.length;
  const frame = { pickup: 0, bars: bars.map(() => ({ meter: form.meter })), length };
  const laid = layLane(frame, bars);
  return laid.ok ? ok({ form, key, bars, sectionStarts }) : laid;
}

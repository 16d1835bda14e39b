import { isCompound } from '../phrase/time';
import type { Feel, Meter, Tempo } from '../phrase/types';
import type { Form } from './types';

/** How a form is to be played, where it is not played as it says itself. */
export interface FormPlayed {
  /** Of what the form counts, or of the dotted quarters of a compound metre. */
  readonly bpm?: number;
  readonly feel?: Feel;
  readonly meter?: Meter;
}

/**
 * The form in another tempo, feel or metre; its bars keep their chords. In another kind of metre it counts
 * the beats of that (T2), at the same number. A shuffle that becomes compound is written out there, so
 * that it is straight, and the other way round (common practice: 12/8 and shuffled 4/4 are two ways to
 * write the same), unless a feel is named.
 */
export function formPlayed(form: Form, wish: FormPlayed): Form {
  const meter = wish.meter ?? form.meter;
  const feel = wish.feel ?? feelIn(form, meter);
  const tempo = { bpm: wish.bpm ?? form.tempo.bpm, unit: unitIn(form, meter) };
  return { ...form, meter, feel, tempo };
}

function feelIn(form: Form, meter: Meter): Feel {
  const { feel } = form;
  if (isCompound(meter) === isCompound(form.meter)) return feel;
  if (isCompound(meter)) return isShuffle(feel) ? { kind: 'straight' } : feel;
  return feel.kind === 'straight' ? { kind: 'swing', unit: 'eighth', first: 2, second: 1 } : feel;
}

function isShuffle(f: Feel): boolean {
  return f.kind === 'swing' && f.unit === 'eighth' && f.first === 2 && f.second === 1;
}

/** A unit that somebody chose against the metre stays. */
function unitIn(form: Form, meter: Meter): Tempo['unit'] {
  const beat = (m: Meter): Tempo['unit'] => (isCompound(m) ? 'dotted-quarter' : 'quarter');
  return form.tempo.unit === beat(form.meter) ? beat(meter) : form.tempo.unit;
}

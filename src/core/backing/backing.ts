import { bassLine } from './bass';
import { comping } from './comping';
import { drumPart } from './drums';
import { swingOfFeel } from './swing';
import type { Backing, BackingForm, BackingOptions } from './types';

/**
 * Bass, comping and drums over a form. The same form, feel and seed give the same band, note by note;
 * nothing begins at or after the end of the form, or in its pickup.
 */
export function makeBacking(form: BackingForm, o: BackingOptions): Backing {
  const seed = o.seed ?? 1;
  const loops = o.loops ?? true;
  return {
    feel: o.feel,
    form,
    swing: swingOfFeel(o.feel, form),
    bass: bassLine(form, o.feel, seed, loops),
    comping: comping(form, o.feel, seed),
    drums: drumPart(form, o.feel, seed, loops),
    rhythm: o.rhythm ?? null,
  };
}

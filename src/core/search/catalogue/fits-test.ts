import type { Catalogue } from './catalogue';
import { NO_CHORD_STEP } from './chords';

/**
 * Whether a whole lane is like chords that are asked for, as `define` says. What a chord would have to be moved by
 * is read from a table, since a lane is looked at note for note only where its first chord suits.
 */
export function fitsTest(asked: readonly string[], c: Catalogue): (n: number) => boolean {
  const steps = asked.map((text) => c.chords.stepsTo(text));
  const [first] = steps;
  const { changes, firstChange } = c;
  if (first === undefined) return () => false;
  return (n) => {
    const from = firstChange.values[n]!;
    const end = firstChange.values[n + 1]!;
    if (end - from < steps.length || first[changes.values[from]!] === 0) return false;
    let [place, before, far] = [0, -1, 0];
    for (let at = from; at < end; at++) {
      const chord = changes.values[at]!;
      if (chord === before) continue;
      before = chord;
      if (place === steps.length) return false;
      const step = steps[place++]![chord]!;
      if (step === 0) return false;
      if (step === NO_CHORD_STEP) continue;
      if (far > 0 && step !== far) return false;
      far = step;
    }
    return place === steps.length;
  };
}

import type { Catalogue } from './catalogue';
import { NO_CHORD_STEP } from './chords';

/**
 * Whether a lane is, or ends, like chords that are asked for, as `define` says. What a chord would have to be moved
 * by is read from a table, since a lane is looked at chord for chord only where its last chord suits.
 */
export function fitsTest(asked: readonly string[], c: Catalogue): (n: number) => boolean {
  const steps = asked.map((text) => c.chords.stepsTo(text));
  const last = steps.at(-1);
  const { changes, firstChange } = c;
  if (last === undefined) return () => false;
  return (n) => {
    const from = firstChange.values[n]!;
    const end = firstChange.values[n + 1]!;
    if (end - from < steps.length || last[changes.values[end - 1]!] === 0) return false;
    let [place, behind, far] = [steps.length, -1, 0];
    for (let at = end - 1; at >= from; at--) {
      const chord = changes.values[at]!;
      if (chord === behind) continue;
      behind = chord;
      // Over one chord all of it must go; before a change there may be more.
      if (place === 0) return steps.length > 1;
      const step = steps[--place]![chord]!;
      if (step === 0) return false;
      if (step === NO_CHORD_STEP) continue;
      if (far > 0 && step !== far) return false;
      far = step;
    }
    return place === 0;
  };
}

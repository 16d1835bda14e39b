import { fail, ok, type Result } from '../result';
import { VARIATION_IDS, type VariationId } from './table';

/** Most variations that are joined. */
export const MOST_JOINED = 6;

/** Reads names of variations with commas between: `sixths,slide-in`. */
export function readHow(text: string): Result<readonly VariationId[]> {
  const names = text.split(',').map((s) => s.trim());
  if (names.length > MOST_JOINED) {
    return fail({ message: `at most ${MOST_JOINED} variations are joined` });
  }
  const found: VariationId[] = [];
  for (const name of names) {
    const id = VARIATION_IDS.find((v) => v === name);
    if (id === undefined) {
      return fail({
        message: name === '' ? 'a variation has no name' : `there is no variation '${name}'`,
        fix: `Use ${VARIATION_IDS.join(', ')}.`,
      });
    }
    found.push(id);
  }
  return ok(found);
}

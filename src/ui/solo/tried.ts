import type { Phrase } from '../../core/phrase/types';
import { MOST_BARS } from '../../core/solo/usable';
import { meterText } from './bench-course';

/** So many phrases are tried at a form: those changed last, where there are more. */
export const MOST_TRIED = 2_000;

/** With fewer in the metre of the form, older ones are read for it. */
const ENOUGH = 200;

/** So many phrases are read at most. */
const MOST_READ = 20_000;

/**
 * Reads the phrases that a form is tried with: those changed last, and where few of them are in its metre, of those before
 * them the ones that are: what was brought in last, for a bass or in 12/8, must not leave a form in 4/4 empty.
 * @param ids Of all, the one changed last first.
 * @param metre Of the form, as `12/8`.
 */
export async function readTried(
  ids: readonly string[],
  metre: string,
  load: (ids: readonly string[]) => Promise<readonly Phrase[]>,
): Promise<readonly Phrase[]> {
  const tried = [...(await load(ids.slice(0, MOST_TRIED)))];
  let fitting = tried.filter((p) => isFor(p, metre)).length;
  for (
    let at = MOST_TRIED;
    fitting < ENOUGH && at < MOST_READ && at < ids.length;
    at += MOST_TRIED
  ) {
    const older = await load(ids.slice(at, at + MOST_TRIED));
    const more = older.filter((p) => isFor(p, metre)).slice(0, ENOUGH - fitting);
    tried.push(...more);
    fitting += more.length;
  }
  return tried;
}

const isFor = (p: Phrase, metre: string): boolean =>
  p.bars.length <= MOST_BARS && p.bars.every((b) => meterText(b.meter) === metre);

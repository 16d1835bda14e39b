import { fail, ok, type Result } from '../core/result';
import { readQuery } from '../core/search/query/read';
import type { Search } from '../core/search/query/types';
import type { FitPlace } from '../core/solo/fits';
import { readFits } from './fits-flags';
import { readWhole } from './flag-values';
import type { Flags } from './flags';
import { aroundPlace } from './words';

/** What is looked for in files and folders. */
export interface FindOptions {
  readonly search: Search;
  /** A file with the phrase that the answers are to be like, the likest first. */
  readonly like?: string;
  /** Where they are to fit. */
  readonly fits?: FitPlace;
  /** Most answers that are told. */
  readonly count: number;
  readonly json: boolean;
}

/** So many answers are told where no number is given, and so many at most. */
const USUAL_ANSWERS = 20;
const MOST_ANSWERS = 1_000_000;

export function readFind(flags: Flags): Result<FindOptions> {
  const text = flags.positionals[0] ?? '';
  const search = readQuery(text);
  if (!search.ok) {
    return fail(
      ...search.problems.map((p) => ({
        ...p,
        message: `in '${aroundPlace(text, p.column ?? 1).join('')}' at character ${p.column ?? 1}: ${p.message}`,
      })),
    );
  }
  const count = readWhole(flags, 'count', 1, MOST_ANSWERS);
  if (!count.ok) return count;
  const json = flags.values.has('json');
  const like = flags.values.get('like');
  const fits = readFits(flags);
  if (!fits.ok) return fits;
  return ok({
    search: search.value,
    count: count.value ?? USUAL_ANSWERS,
    json,
    ...(like === undefined ? {} : { like }),
    ...(fits.value === null ? {} : { fits: fits.value }),
  });
}

import { headOf, type RecordBirth, type RecordHead } from '../phrase/record';

/** The version of the stored form that this code writes. */
export const SEARCH_VERSION = 1;

/** The fields of what is asked of a library, in the order in which they are stored. */
export const ASKED = [
  'find',
  'like',
  'tags',
  'key',
  'chord',
  'levels',
  'degrees',
  'order',
] as const;

/** A question as the address of the library has it; what is not asked is left out. */
export type Asked = Readonly<Partial<Record<(typeof ASKED)[number], string>>>;

/** A search kept under a name. The stored JSON has exactly this shape. */
export interface SavedSearch extends RecordHead<'degreewise-search', typeof SEARCH_VERSION> {
  readonly asked: Asked;
}

/** @param asked Empty fields are left out; so is what no search has. */
export function newSearch(
  asked: Readonly<Record<string, string | undefined>>,
  birth: RecordBirth,
): SavedSearch {
  return {
    ...headOf('degreewise-search', SEARCH_VERSION, birth),
    asked: Object.fromEntries(
      ASKED.flatMap((f) => ((asked[f] ?? '') === '' ? [] : [[f, asked[f]]])),
    ),
  };
}

/** Whether two questions are the same. */
export function sameAsked(
  a: Readonly<Record<string, string | undefined>>,
  b: Readonly<Record<string, string | undefined>>,
): boolean {
  return ASKED.every((f) => (a[f] ?? '') === (b[f] ?? ''));
}

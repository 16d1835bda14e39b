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
export interface SavedSearch {
  readonly format: 'degreewise-search';
  readonly version: typeof SEARCH_VERSION;
  readonly id: string;
  readonly parent: string | null;
  readonly meta: {
    readonly title: string;
    /** ISO 8601 in UTC. */
    readonly created: string;
    readonly modified: string;
  };
  readonly asked: Asked;
}

/** @param asked Empty fields are left out; so is what no search has. */
export function newSearch(
  asked: Readonly<Record<string, string | undefined>>,
  { id, now, title }: { readonly id: string; readonly now: string; readonly title: string },
): SavedSearch {
  return {
    format: 'degreewise-search',
    version: SEARCH_VERSION,
    id,
    parent: null,
    meta: { title, created: now, modified: now },
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

import type { OwnForm } from './types';

/**
 * How two forms of one id become one: where both are called and played the same, only what is known of
 * when they were made differs. A form that came out of a lesson knows nothing of it (`ownFormsIn`), so one that
 * was ever changed or made from another stays; of equals the earlier.
 */
export const FORMS_JOINED = {
  /** Forms of one id and one key are joined; others are versions, of which each is kept. */
  key({
    id: _,
    parent: __,
    meta: { created: ___, modified: ____, ...meta },
    ...rest
  }: OwnForm): string {
    return JSON.stringify([meta, rest], inOrder);
  },
  /** The same whichever comes first. */
  join(a: OwnForm, b: OwnForm): OwnForm {
    const [x, y] = [rank(a), rank(b)];
    const at = x.findIndex((v, i) => v !== y[i]);
    return at < 0 || x[at]! < y[at]! ? a : b;
  },
};

/** What is to stay comes first. */
function rank({ parent, meta: { created, modified } }: OwnForm): readonly string[] {
  const known = parent !== null || created !== modified;
  return [known ? '0' : '1', modified, created, parent ?? ''];
}

/** The same text for the same content, whatever the order of its fields. */
function inOrder(_name: string, field: unknown): unknown {
  if (typeof field !== 'object' || field === null || Array.isArray(field)) return field;
  return Object.fromEntries(Object.entries(field).sort(([a], [b]) => (a < b ? -1 : 1)));
}

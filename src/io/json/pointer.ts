/** JSON pointer (RFC 6901) of a path; empty for the whole document. */
export function pointerTo(path: readonly (string | number)[]): string {
  return path.map((k) => `/${String(k).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');
}

/** The value a path leads to, by own properties only; undefined where it leads nowhere. */
export function valueAt(raw: unknown, path: readonly (string | number)[]): unknown {
  let at = raw;
  for (const key of path) {
    if (typeof at !== 'object' || at === null || !Object.hasOwn(at, key)) return undefined;
    at = (at as Readonly<Record<string | number, unknown>>)[key];
  }
  return at;
}

/** Whether two pieces of plain data are equal, whatever the order of their keys. */
export function sameData(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const keys = Object.keys(a);
  return (
    keys.length === Object.keys(b).length &&
    keys.every((k) => Object.hasOwn(b, k) && sameData((a as Tree)[k], (b as Tree)[k]))
  );
}

type Tree = Readonly<Record<string, unknown>>;

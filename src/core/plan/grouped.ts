/** Things by what they have in common, in the order in which they come. */
export function groupedBy<T, K>(
  all: Iterable<T>,
  keyOf: (one: T) => K,
): ReadonlyMap<K, readonly T[]> {
  const groups = new Map<K, T[]>();
  for (const one of all) {
    const key = keyOf(one);
    const known = groups.get(key);
    if (known === undefined) groups.set(key, [one]);
    else known.push(one);
  }
  return groups;
}

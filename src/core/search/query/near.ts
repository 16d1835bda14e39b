/** One letter more, less or other, or two that changed places: a slip, and no word of a title. */
export function isNear(name: string, typed: string): boolean {
  if ([...name].sort().join('') === [...typed].sort().join('')) return true;
  if (Math.abs(name.length - typed.length) > 1 || typed.length < 3) return false;
  let start = 0;
  while (start < typed.length && name[start] === typed[start]) start++;
  const rest = [typed.slice(start), name.slice(start)] as const;
  return (
    rest[0].slice(1) === rest[1].slice(1) ||
    rest[0].slice(1) === rest[1] ||
    rest[0] === rest[1].slice(1)
  );
}

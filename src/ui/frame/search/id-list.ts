/** Ids in their order. They come and are kept as texts of so many each: a list of a hundred thousand strings a key is dear. */
export interface IdList {
  readonly length: number;
  readonly slice: (from: number, to: number) => readonly string[];
  readonly all: () => readonly string[];
  /** Those of some ids that are in it, in its order: no list of all is made for them. */
  readonly among: (some: ReadonlySet<string>) => readonly string[];
}

/** Those of some ids that are in lists; no id stands in them twice. */
function amongLists(
  lists: Iterable<readonly string[]>,
  some: ReadonlySet<string>,
): readonly string[] {
  const found: string[] = [];
  for (const list of lists) {
    if (found.length === some.size) break;
    for (const id of list) if (some.has(id)) found.push(id);
  }
  return found;
}

function* split(pieces: readonly string[]): Generator<readonly string[]> {
  for (const piece of pieces) yield piece.split(' ');
}

/** Ids in one text. */
const PIECE = 256;

/** The texts that a list travels as. No id has a space. */
export function packIds(ids: readonly string[]): readonly string[] {
  const pieces: string[] = [];
  for (let at = 0; at < ids.length; at += PIECE) pieces.push(ids.slice(at, at + PIECE).join(' '));
  return pieces;
}

/** @param pieces As `packIds` gives them. */
export function idList(pieces: readonly string[]): IdList {
  const last = pieces.at(-1)?.split(' ').length ?? 0;
  const length = last === 0 ? 0 : (pieces.length - 1) * PIECE + last;
  const all = () => pieces.flatMap((p) => p.split(' '));
  /** The pieces of which something was shown. */
  const known = new Map<number, readonly string[]>();
  const piece = (n: number) => {
    const ids = known.get(n) ?? pieces[n]!.split(' ');
    known.set(n, ids);
    return ids;
  };
  return {
    length,
    all,
    among: (some) => amongLists(split(pieces), some),
    slice: (from, to) => {
      const [first, end] = [Math.max(0, from), Math.min(length, to)];
      if (first >= end) return [];
      const some: string[] = [];
      for (let n = Math.floor(first / PIECE); n * PIECE < end; n++) {
        some.push(...piece(n).slice(Math.max(0, first - n * PIECE), end - n * PIECE));
      }
      return some;
    },
  };
}

/** Ids that are a list already. */
export function listOfIds(ids: readonly string[]): IdList {
  return {
    length: ids.length,
    slice: (from, to) => ids.slice(from, to),
    all: () => ids,
    among: (some) => amongLists([ids], some),
  };
}

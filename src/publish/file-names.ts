import { allowedStem } from '../io/file/reserved-name';

/** Most characters of a file's name before its ending. */
const LONGEST = 80;

/**
 * A file's name from a title: letters and digits of any script, hyphens between; never empty, and
 * nothing in it that a file system takes amiss.
 * @example fileStem('Two doors, one key?') // 'two-doors-one-key'
 */
export function fileStem(title: string): string {
  const plain = title
    .normalize('NFC')
    .toLowerCase()
    .replaceAll('♭', 'b')
    .replaceAll('♯', '#')
    .replaceAll(/[^\p{L}\p{M}\p{N}#]+/gu, '-');
  const letters = [...plain];
  const cut = letters.slice(0, LONGEST).join('');
  // Between two words where there is a place in the second half of it.
  const between = letters.length > LONGEST && letters[LONGEST] !== '-' ? cut.lastIndexOf('-') : -1;
  const short = between > cut.length / 2 ? cut.slice(0, between) : cut;
  const trimmed = short.replaceAll(/^-+|-+$/gu, '');
  return trimmed === '' ? 'phrase' : allowedStem(trimmed, 'phrase');
}

/** The stems with their places in front, as `02-third-rung`, so that a folder lists them in their order. */
export function numberedStems(stems: readonly string[]): readonly string[] {
  const digits = Math.max(2, String(stems.length).length);
  return stems.map((stem, i) => `${String(i + 1).padStart(digits, '0')}-${stem}`);
}

/** The names in their order, each made unique by a number where it came before. */
export function uniqueNames(stems: readonly string[], ending: string): readonly string[] {
  const used = new Set<string>();
  // The number to try next: of thousands with one name none tries all those before it.
  const next = new Map<string, number>();
  return stems.map((stem) => {
    let name = `${stem}.${ending}`;
    for (let n = next.get(stem) ?? 2; used.has(name); n++) {
      name = `${stem}-${n}.${ending}`;
      next.set(stem, n + 1);
    }
    used.add(name);
    return name;
  });
}

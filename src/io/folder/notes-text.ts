/** A thing as it is noted: what is past by it as one text, of 16 digits a version. */
export interface NotedThing {
  readonly version: string | null;
  readonly past: string;
  readonly sum?: number;
}

/** A file as it is noted. */
export interface NotedFile {
  readonly stamp: string;
  readonly key?: string;
  readonly version?: string | null;
  readonly past?: string;
  readonly ours?: boolean;
  readonly untouched?: boolean;
}

/** So many blocks, whatever there is: of 100,000 things each holds about a hundred. */
const BLOCKS = 1_024;

/** The block of a thing and of its files, by its key; of a foreign file, by its path. */
export function blockOf(key: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < key.length; i++) hash = Math.imul(hash ^ key.charCodeAt(i), 0x01000193);
  return ((hash >>> 16) ^ hash) & (BLOCKS - 1);
}

/** A block as JSON in one line; empty where nothing is in it. */
export function writeBlock(
  things: readonly (readonly [string, NotedThing])[],
  files: readonly (readonly [string, NotedFile])[],
): string {
  if (things.length + files.length === 0) return '';
  const pastOf = new Map(things.map(([key, { past }]) => [key, past]));
  const short = files.map(([path, note]) => {
    const { past, key, ...rest } = note;
    // What a file says of the past is mostly what is remembered of the thing: then it is kept once.
    const same = key !== undefined && past !== undefined && pastOf.get(key) === past;
    return [path, same ? { key, ...rest, past: true } : note];
  });
  return JSON.stringify({ things, files: short });
}

/** A block out of such a text; null where it cannot be read. */
export function readBlock(
  text: string,
  block: number,
): {
  readonly things: readonly (readonly [string, NotedThing])[];
  readonly files: readonly (readonly [string, NotedFile])[];
} | null {
  if (text === '') return { things: [], files: [] };
  try {
    const { things, files } = JSON.parse(text) as Record<string, unknown>;
    if (!Array.isArray(things) || !Array.isArray(files)) return null;
    if (!things.every(isThing)) return null;
    const pastOf = new Map(things.map(([key, { past }]) => [key, past]));
    const whole = files.map(([path, note]: [string, Record<string, unknown>]): unknown => {
      return [path, note.past === true ? { ...note, past: pastOf.get(String(note.key)) } : note];
    });
    if (!whole.every(isFile)) return null;
    const here = ([key]: readonly [string, unknown]) => blockOf(key) === block;
    const at = ([path, { key }]: readonly [string, NotedFile]) => blockOf(key ?? path) === block;
    return things.every(here) && whole.every(at) ? { things, files: whole } : null;
  } catch {
    return null;
  }
}

const PAST = /^(?:[0-9a-f]{16})*$/u;
const isPast = (value: unknown) => typeof value === 'string' && PAST.test(value);
const isVersion = (value: unknown) =>
  value === null || (typeof value === 'string' && /^[0-9a-f]{16}$/u.test(value));

function isThing(entry: unknown): entry is readonly [string, NotedThing] {
  const [key, note] = pairOf(entry);
  if (key === null || note === null) return false;
  const { version, past, sum } = note;
  return isVersion(version) && isPast(past) && (sum === undefined || typeof sum === 'number');
}

function isFile(entry: unknown): entry is readonly [string, NotedFile] {
  const [path, note] = pairOf(entry);
  if (path === null || note === null) return false;
  const { stamp, key, version, past, ours, untouched } = note;
  return (
    typeof stamp === 'string' &&
    (key === undefined
      ? version === undefined && past === undefined
      : typeof key === 'string' && isVersion(version) && isPast(past)) &&
    [ours, untouched].every((flag) => flag === undefined || typeof flag === 'boolean')
  );
}

function pairOf(entry: unknown): readonly [string | null, Record<string, unknown> | null] {
  if (!Array.isArray(entry) || entry.length !== 2) return [null, null];
  const [key, note] = entry as readonly unknown[];
  if (typeof key !== 'string' || typeof note !== 'object' || note === null) return [null, null];
  return [key, { ...note }];
}

import type { Phrase } from '../phrase/types';

/** What came of two or more libraries in one. */
export interface Merged {
  /** By id, and of one id the version that keeps it first. */
  readonly phrases: readonly Phrase[];
  /** Phrases that were there in several versions; each is kept under an id of its own. */
  readonly kept: readonly {
    readonly id: string;
    readonly title: string;
    readonly versions: number;
  }[];
}

/**
 * Libraries in one: equal phrases once, versions of one phrase that differ all of them. The version
 * that was changed last keeps the id; the others get one made of it and of what they hold, so that
 * it comes out the same in whatever order libraries are merged, and however often.
 */
export function mergeLibraries(...libraries: readonly (readonly Phrase[])[]): Merged {
  const versions = new Map<string, Map<string, Phrase>>();
  for (const p of libraries.flat()) {
    const base = baseOf(p.id);
    const known = versions.get(base) ?? new Map<string, Phrase>();
    versions.set(base, known.set(contentOf(p), p));
  }
  const phrases: Phrase[] = [];
  const kept: Merged['kept'][number][] = [];
  for (const id of [...versions.keys()].sort()) {
    const [last, ...older] = [...versions.get(id)!].sort(lastFirst);
    phrases.push(withId(last![1], id));
    for (const [content, p] of older) phrases.push(withId(p, `${id}${MARK}${hash(content)}`));
    if (older.length > 0) {
      kept.push({ id, title: last![1].meta.title, versions: older.length + 1 });
    }
  }
  return { phrases, kept };
}

/** Parts the id of a phrase from what tells its versions apart. */
const MARK = '.v-';

/** An id may have 200 characters, of which those that tell versions apart need room. */
const LONGEST = 180;

function baseOf(id: string): string {
  const base = id.replace(/\.v-[0-9a-f]{16}$/u, '');
  return base.length <= LONGEST ? base : `${base.slice(0, LONGEST - 17)}-${hash(base)}`;
}

type Version = readonly [content: string, phrase: Phrase];

function lastFirst([a, p]: Version, [b, q]: Version): number {
  const later = Date.parse(q.meta.modified) - Date.parse(p.meta.modified);
  return later || (a < b ? -1 : Number(a > b));
}

function withId(p: Phrase, id: string): Phrase {
  return p.id === id ? p : { ...p, id };
}

/** Everything but the id, the same text for the same content whatever the order of its fields. */
function contentOf({ id: _, ...rest }: Phrase): string {
  return JSON.stringify(rest, (_name, value: unknown) =>
    typeof value === 'object' && value !== null && !Array.isArray(value)
      ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : Number(a > b))))
      : value,
  );
}

/** Sixteen digits of FNV-1a, two of 32 bits each (G. Fowler, L. Noll and K.-P. Vo). */
function hash(text: string): string {
  let [a, b] = [0x811c_9dc5, 0x0135_32a7];
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    a = Math.imul(a ^ c, 0x0100_0193);
    b = Math.imul(b ^ (c + i), 0x0100_0193);
  }
  const digits = (n: number) => (n >>> 0).toString(16).padStart(8, '0');
  return digits(a) + digits(b);
}

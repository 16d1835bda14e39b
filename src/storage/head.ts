import type { AnyKind, Identity } from '../io/kinds/kind';
import type { About } from './at-hand';
import { partsOf, type StoredRecord } from './record';
import { basisOf } from './seal';
import type { Revision } from './types';

/** What is written of a record beside its text. */
export type Named = Pick<About, 'identity' | 'group'>;

/**
 * What is known of a record without its text: all that a start needs. Kept in a log of its own, a row
 * for each transaction, written with the records or not at all.
 */
export interface Head {
  readonly key: string;
  readonly revision: Revision;
  /** The seal of its text; null where it was not checked, so that it has to be read. */
  readonly sum: number | null;
  readonly removed: number | null;
  readonly sample: boolean;
  /** Null where it is not known: it has to be read then. */
  readonly identity: Identity | null;
  /** `groupOf` its kind; null where it has none, or is not known. */
  readonly group: string | null;
}

/** A record that was deleted. */
export interface Gone {
  readonly key: string;
  readonly gone: true;
}

/** `as before`: what it is called, when it was made and its group are as an earlier row says. */
export type Entry =
  | Gone
  | (Omit<Head, 'identity'> & { readonly identity: Identity | 'as before' | null });

/** One entry as it is written: the shorter ones leave out what is as before, or all. */
type Written =
  | readonly [key: string]
  | readonly [
      key: string,
      revision: number,
      sum: number | null,
      removed: number | null,
      sample: 0 | 1,
    ]
  | readonly [
      key: string,
      revision: number,
      sum: number | null,
      removed: number | null,
      sample: 0 | 1,
      parent: string | null,
      title: string,
      created: string,
      modified: string,
      // Of a kind with groups only; an older program passes it over.
      group?: string,
    ];

/** Heads as a row of the log, as text; `takeRow` reads it. */
export function rowOf(entries: readonly Entry[]): string {
  return JSON.stringify(
    entries.map((e): Written => {
      if ('gone' in e) return [e.key];
      const { key, revision, removed, sample, identity, group } = e;
      const unknown = identity === null;
      const first = [key, revision, unknown ? null : e.sum, removed, sample ? 1 : 0] as const;
      if (unknown || identity === 'as before') return first;
      const { parent, title, created, modified } = identity;
      const names = [parent, title, created, modified] as const;
      return group === null ? [...first, ...names] : [...first, ...names, group];
    }),
  );
}

/**
 * Takes a row that was written later than all that is known.
 * @returns how many entries it has.
 * @throws what is no row.
 */
export function takeRow(known: Map<string, Head>, text: string): number {
  // This program wrote it, in this version of the database.
  const entries = JSON.parse(text) as readonly Written[];
  for (const e of entries) {
    const [key, revision, sum, removed, sample, ...names] = e as readonly [
      string,
      ...(readonly unknown[]),
    ];
    const [parent, title, created, modified, group] = names;
    if (revision === undefined) {
      known.delete(key);
      continue;
    }
    const before = known.get(key);
    if (typeof revision !== 'number') throw new TypeError(`${key} has lost its revision`);
    // A row that tells all that is there may be written while another window writes.
    if (before !== undefined && before.revision > revision) continue;
    const identity =
      typeof title === 'string'
        ? {
            id: partsOf(key).id,
            parent: parent as string | null,
            title,
            created: created as string,
            modified: modified as string,
          }
        : (before?.identity ?? null);
    known.set(key, {
      key,
      revision,
      sum: identity === null ? null : (sum as number | null),
      removed: removed as number | null,
      sample: sample === 1,
      identity,
      group: typeof title === 'string' ? groupIn(group) : (before?.group ?? null),
    });
  }
  return entries.length;
}

const groupIn = (found: unknown): string | null => (typeof found === 'string' ? found : null);

const AS_BEFORE = { identity: 'as before', group: null } as const;

/** What a row says of a record. */
export function partOf(record: StoredRecord, named: Named | 'as before'): Entry {
  const { id: key, revision, sum = null, removed = null, sample = false } = record;
  const { identity, group } = named === 'as before' ? AS_BEFORE : named;
  return { key, revision, sum, removed, sample, identity, group };
}

/** Raised with every change of what a row says. */
const ROWS = 1;

/** What all rows stand on: where it is another, they are written anew. */
export function basis(kinds: readonly AnyKind[]): string {
  const lasting = kinds.filter((k) => k.onDemand === true);
  return `${ROWS} ${lasting.map(basisOf).join(', ')}`;
}

/** Names of the kinds of which a log that stood on something else says nothing right; null where that is all. */
export function kindsSince(before: string, kinds: readonly AnyKind[]): readonly string[] | null {
  const [rows, ...rest] = before.split(' ');
  const known = rest.join(' ').split(', ');
  if (rows !== String(ROWS)) return null;
  const behind = kinds.filter((k) => k.onDemand === true && !known.includes(basisOf(k)));
  return behind.map((k) => k.name);
}

/** How far the log has been written from the records: up to a key, or all (null). */
export interface Mark {
  readonly basis: string;
  readonly to: string | null;
  /** Only as far as this key they had to be written; to the end where absent. */
  readonly until?: string;
}

/** The mark as it was stored; null where it is none. */
export function markIn(stored: unknown): Mark | null {
  if (typeof stored !== 'object' || stored === null) return null;
  const { basis: of, to, until } = stored as { readonly [K in keyof Mark]?: unknown };
  if (typeof of !== 'string' || (to !== null && typeof to !== 'string')) return null;
  return { basis: of, to, ...(typeof until === 'string' && { until }) };
}

/** Where the log ends: every transaction that changed a record has moved it. */
export interface LogEnd {
  /** Key of the last row; 0 for none. */
  readonly row: number;
  /** `sumOf` its text: a database that lost its end may give a key twice. */
  readonly sum: number;
}

/** Where there is no log, or none of it was looked at. */
export const NO_LOG: LogEnd = { row: 0, sum: 0 };

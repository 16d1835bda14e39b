import { type Backend, type MetaName, type Records, sequenceOf, WriteRefused } from './backend';
import { isRevision, type RawRecord, type StoredRecord } from './record';
import type { Refusal, Revision } from './types';

/** Records that are gone when the window closes. */
export interface MemoryBackend extends Backend {
  /** The values as they lie there; may be changed from outside to stand for damage. */
  readonly values: Map<string, unknown>;
}

/** @param refuse Asked before every write; what it returns is the write's end. */
export function memoryBackend(refuse: () => Refusal | null = () => null): MemoryBackend {
  const values = new Map<string, unknown>();
  let meta = new Map<MetaName, unknown>();
  let last: Promise<unknown> = Promise.resolve();
  const rawOf = (key: string): RawRecord => ({ key, value: values.get(key) });

  const transaction = async <T>(run: (records: Records) => Promise<T>): Promise<T> => {
    const refusal = refuse();
    if (refusal !== null) throw new WriteRefused(refusal);
    const newValues = new Map(values);
    const newMeta = new Map(meta);
    const value = await run(recordsOf(newValues, newMeta));
    // Copied back, so that the map handed out stays the one that is used.
    values.clear();
    for (const [k, v] of newValues) values.set(k, v);
    meta = newMeta;
    return value;
  };

  return {
    lasting: false,
    values,
    async open() {
      return { mishap: null };
    },
    async keys() {
      return [...values.keys()].sort();
    },
    async read(keys) {
      return keys.filter((k) => values.has(k)).map(rawOf);
    },
    async page(after, many) {
      const keys = [...values.keys()].sort().filter((k) => after === null || k > after);
      return keys.slice(0, many).map(rawOf);
    },
    async since(revision) {
      return [...values.keys()].filter((k) => revisionOf(values.get(k)) > revision);
    },
    async sequence() {
      return sequenceOf(meta.get('sequence'));
    },
    write(run) {
      const result = last.then(() => transaction(run));
      // A failed write is its caller's matter; the next one only waits for its end.
      last = result.catch(() => undefined);
      return result;
    },
    close() {},
  };
}

function recordsOf(values: Map<string, unknown>, meta: Map<MetaName, unknown>): Records {
  return {
    async get(key) {
      return values.get(key);
    },
    async put(record: StoredRecord) {
      values.set(record.id, record);
    },
    async amend(record: StoredRecord) {
      values.set(record.id, record);
    },
    async delete(key) {
      values.delete(key);
    },
    async lastRevision() {
      return [...values.values()].reduce<Revision>((max, v) => Math.max(max, revisionOf(v)), 0);
    },
    async meta(name) {
      return meta.get(name);
    },
    async setMeta(name, value) {
      if (value === undefined) meta.delete(name);
      else meta.set(name, value);
    },
  };
}

function revisionOf(value: unknown): Revision {
  const revision =
    typeof value === 'object' && value !== null && 'revision' in value ? value.revision : 0;
  return isRevision(revision) ? revision : 0;
}

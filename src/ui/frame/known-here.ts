import { baseOf, besideId } from '../../core/library/merge';
import { type AnyKind, check, readyFor, type Thing } from '../../io/kinds/kind';
import { keyOf } from '../../storage/record';
import { sealOf } from '../../storage/seal';
import type { LibraryStore, ThingName } from '../../storage/types';

/** What was here: the same, or what was made of it. */
export interface OneHere extends ThingName {
  readonly title: string;
  readonly how: 'same' | 'older';
}

/** Things of a file, beside what the library has. */
export interface KnownHere<T> {
  /** To be added, those that come in beside another under ids of their own. */
  readonly entries: readonly T[];
  /** Of those that come in under other ids, or naming others: as they are in the file. */
  readonly inFile: ReadonlyMap<T, T>;
  /** What is not added, since it is here. */
  readonly here: ReadonlyMap<T, OneHere>;
}

/**
 * Parts what comes from a file. To the letter an earlier version of what is here is not offered again: what the
 * library has was made of it; what only looks older may have been changed elsewhere. What differs comes in beside,
 * under an id made of both, so that the file brought in again doubles nothing.
 * @param renamed New ids by kind and id in the file; gets those that are given here.
 */
export async function knownHere<T extends Thing>(
  store: Pick<LibraryStore, 'of' | 'versions'>,
  things: readonly T[],
  renamed: Map<string, string>,
): Promise<KnownHere<T>> {
  const entries: T[] = [];
  const inFile = new Map<T, T>();
  const here = new Map<T, OneHere>();
  for (const thing of things) {
    const named = await naming(thing, renamed);
    const { kind } = thing;
    const { id, title } = kind.identityOf(thing.value);
    const add = (entry: T) => {
      entries.push(entry);
      if (entry !== thing) inFile.set(entry, thing);
    };
    const there = kind.keepsPast === true ? store.of(kind).get(id) : null;
    const text = there === null ? '' : JSON.stringify(named.value);
    // Most of a backup is as it is here: that needs no look at what was.
    if (there === null || there.sum === sealOf(kind, keyOf(kind, id), text)) {
      add(named);
      continue;
    }
    if (await isPast(store, kind, id, text)) {
      here.set(thing, { kind, id, title, how: 'older' });
      continue;
    }
    const copy = await copyOf(named);
    const had = store.of(kind).get(copy.id);
    if (had === null) {
      add(copy.thing);
    } else if (had.sum === sealOf(kind, keyOf(kind, copy.id), copy.text)) {
      here.set(thing, { kind, id: copy.id, title, how: 'same' });
    } else if (await isPast(store, kind, copy.id, copy.text)) {
      here.set(thing, { kind, id: copy.id, title, how: 'older' });
    } else {
      // What the copy was has been forgotten: once more beside.
      add(named);
      continue;
    }
    renamed.set(`${kind.name} ${id}`, copy.id);
  }
  return { entries, inFile, here };
}

/** It with the new ids of what it names. */
async function naming<T extends Thing>(thing: T, renamed: ReadonlyMap<string, string>): Promise<T> {
  const { kind, value } = thing;
  if (renamed.size === 0 || kind.withReferences === undefined) return thing;
  const to = (name: string, id: string) => renamed.get(`${name} ${id}`) ?? id;
  return checkedAs(thing, kind.withReferences(value, to));
}

async function checkedAs<T extends Thing>(thing: T, value: unknown) {
  await readyFor([thing.kind]);
  const checked = check(thing.kind, value);
  if (!checked.ok) throw new Error('what is valid under other ids is valid');
  return { ...thing, ...checked.value };
}

/** Whether a text is an earlier version of what has the id here. */
async function isPast(
  { versions }: Pick<LibraryStore, 'versions'>,
  kind: AnyKind,
  id: string,
  text: string,
): Promise<boolean> {
  const past = (await versions?.list(kind, id)) ?? [];
  return past.some(({ value }) => JSON.stringify(value) === text);
}

/** It as it stands beside what has its id. */
async function copyOf<T extends Thing>(named: T) {
  const { kind, value } = named;
  const identity = kind.identityOf(value);
  const withId = (v: unknown, id: string) => kind.withIdentity(v, { ...kind.identityOf(v), id });
  const id = besideId({ identityOf: (v) => kind.identityOf(v), withId }, value);
  const copy = kind.withIdentity(value, { ...identity, id, parent: baseOf(identity.id) });
  const thing = await checkedAs(named, copy);
  return { id, thing, text: JSON.stringify(thing.value) };
}

import { differences } from '../../core/differing/differences';
import type { AnyRecord } from '../../core/differing/words';
import { type AsPlayed, laterPlayed } from '../../core/heard/played';
import { baseOf, type Merged, mergeVersions } from '../../core/library/merge';
import { valueOfKept } from '../../core/library/thinning';
import type { AnyKept } from '../../core/library/versions';
import { ok } from '../../core/result';
import { carry } from '../../io/folder/carry';
import { noNotes } from '../../io/folder/notes';
import {
  apartOf,
  FILE_KINDS,
  KEPT_THINGS,
  KEPT_VERSIONS,
  kindOfKept,
  PLAYED,
} from '../../io/kinds/file-kinds';
import type { AnyKind, Thing } from '../../io/kinds/kind';
import { PHRASES } from '../../io/kinds/kinds';
import { libraryOfTexts } from '../../publish/publish';
import { earlierWords, playedWords } from '../earlier-words';
import { asPhrase, KEPT, KeptLibrary, type KeptPhrase } from '../kept-phrases';
import type { Shell } from '../shell';
import { count } from '../words';

/** Where it goes: one file, or a folder with a file a phrase. */
export interface MergeTo {
  readonly out: string;
  readonly folder: boolean;
  /** Whether a file may be replaced. */
  readonly force: boolean;
}

/** Writes several collections as one library, and says what was there in several versions and what differs. */
export async function writeMerged(
  shell: Shell,
  kept: readonly KeptPhrase[],
  collections: readonly (readonly Thing[])[],
  to: MergeTo,
): Promise<void> {
  const phrases = mergeVersions(KEPT, kept);
  const ids = phrases.all.map((p) => p.id);
  const others = mergeOthers(collections, ids);
  const things = others.flatMap(({ kind, merged }) => merged.all.map((value) => ({ kind, value })));
  const written = to.folder
    ? await writeFolder(shell, to.out, phrases.all, things)
    : await writeLibrary(shell, to, phrases.all, things);
  if (!written) return;
  const counts = [count(phrases.all.length, 'phrase'), ...countsOf(others)];
  shell.print(`wrote ${to.out}: ${counts.join(', ')}\n`);
  const known = { titleOf: (id: string) => titles.get(id) ?? null };
  const titles = new Map(phrases.all.map((p) => [p.id, p.title]));
  sayKept(shell, [
    keptOf(phrases, KEPT.identityOf, (a, b) => differences(asPhrase(a), asPhrase(b), known)),
    ...others.map(({ kind, merged }) =>
      keptOf(
        merged,
        (v) => kind.identityOf(v),
        // Everything that a library holds has the head of a record.
        (a, b) => differences(a as AnyRecord, b as AnyRecord, known),
      ),
    ),
  ]);
}

/** How many there are by what people call them. */
function countsOf(others: ReturnType<typeof mergeOthers>): readonly string[] {
  const counts = new Map<string, number>();
  for (const { kind, merged } of others) {
    counts.set(kind.noun, (counts.get(kind.noun) ?? 0) + merged.all.length);
  }
  return [...counts].map(([noun, many]) => count(many, noun));
}

/** Writes one file; false where it could not, which is told. */
async function writeLibrary(
  shell: Shell,
  { out, force }: MergeTo,
  phrases: readonly KeptPhrase[],
  things: readonly Thing[],
): Promise<boolean> {
  const bytes = libraryOfTexts(textsOf(phrases), things);
  const written = await shell.io.files.write(out, bytes, force);
  if (!written.ok) shell.refuse(out, written.problems);
  else if (written.value === 'taken') {
    shell.misuse({
      message: `there is a file '${out}' already`,
      fix: 'Add --force to replace it.',
    });
  }
  return written.ok && written.value === 'written';
}

function* textsOf(phrases: readonly KeptPhrase[]): Generator<string> {
  for (const p of phrases) yield p.text();
}

/** Writes a file a phrase, as `carry` does; false where it could not, which is told. */
async function writeFolder(
  shell: Shell,
  out: string,
  phrases: readonly KeptPhrase[],
  all: readonly Thing[],
): Promise<boolean> {
  const kind = await shell.io.files.kindOf(out);
  const there = kind === 'folder' ? await shell.io.files.list(out) : ok([]);
  if (!there.ok) shell.refuse(out, there.problems);
  else if (kind === 'file' || there.value.length > 0) {
    shell.misuse({
      message: kind === 'file' ? `'${out}' is no folder` : `there are files in '${out}' already`,
      fix: "Name a new folder, or an empty one; 'degreewise carry' brings a library and a folder in step.",
    });
  } else {
    // What a library keeps beside itself stays in library files.
    const { versions, played, others } = apartOf(all);
    const library = new KeptLibrary(phrases, others);
    const { folder } = await shell.io.folder(out);
    try {
      await carry(library, folder, noNotes(), { now: shell.io.now().toISOString() });
    } catch (e) {
      const message = e instanceof Error ? e.message : String(e);
      shell.refuse(out, [{ message, fix: 'Remove what was written, and begin again.' }]);
      return false;
    }
    const left = [
      ...(versions.length > 0 ? [earlierWords(versions)] : []),
      ...(played.length > 0 ? [playedWords(played)] : []),
    ];
    if (left.length > 0) {
      shell.remark(`not in the folder: ${left.join(', ')}; a library file (.json) holds that\n`);
    }
    return true;
  }
  return false;
}

/** So many things that are there in several versions are named. */
const MOST_NAMED = 5;

/** Something that is there in several versions, and what each of the others has otherwise than the first. */
interface Kept {
  readonly title: string;
  readonly versions: number;
  readonly others: () => readonly { readonly id: string; readonly differs: readonly string[] }[];
}

function keptOf<T>(
  { all, kept }: Merged<T>,
  identityOf: (value: T) => { readonly id: string },
  differences: (a: T, b: T) => readonly string[],
): readonly Kept[] {
  return kept.map(({ id, title, versions }) => ({
    title,
    versions,
    others: () => {
      const [first, ...more] = all.filter((v) => baseOf(identityOf(v).id) === id);
      return more.map((v) => ({ id: identityOf(v).id, differs: differences(first!, v) }));
    },
  }));
}

/** What was there in several versions: where it is much, how much, and the first of it. */
function sayKept(shell: Shell, merged: readonly (readonly Kept[])[]): void {
  const kept = merged.flat();
  const more = kept.length - MOST_NAMED;
  if (more > 0) {
    shell.remark(`${kept.length} things are there in several versions; all are kept. The first:\n`);
  }
  for (const { title, versions, others } of kept.slice(0, MOST_NAMED)) {
    const name = title === '' ? 'untitled' : `'${title}'`;
    shell.remark(`${name} is there in ${versions} versions; all are kept\n`);
    for (const { id, differs } of others().slice(0, MOST_NAMED)) {
      const what = differs.length === 0 ? 'when it was changed' : differs.join(', ');
      shell.remark(`  ${id} has otherwise: ${what}\n`);
    }
  }
  if (more > 0) shell.remark(`and ${more} more\n`);
}

/** What is no phrase, merged kind by kind. @param phrases Ids of the phrases, merged. */
function mergeOthers(
  collections: readonly (readonly Thing[])[],
  phrases: readonly string[],
): readonly { readonly kind: AnyKind; readonly merged: Merged<unknown> }[] {
  const there = new Set(collections.flatMap((c) => c.map((t) => t.kind)));
  const known = FILE_KINDS.filter((k) => there.has(k));
  // Kinds of which there are earlier versions come before these.
  const ids = new Map<AnyKind, ReadonlySet<string>>([[PHRASES, new Set(phrases)]]);
  return [...new Set([...known, ...there])].map((kind) => {
    const lists = collections.map((c) => c.filter((t) => t.kind === kind).map((t) => t.value));
    const withId = (value: unknown, id: string) =>
      kind.withIdentity(value, { ...kind.identityOf(value), id });
    const identityOf = (value: unknown) => kind.identityOf(value);
    if (kind === PLAYED) {
      // What this kind has read is one.
      const played = lists.flat() as readonly AsPlayed[];
      return { kind, merged: { all: playedAmong(played, phrases), kept: [] } };
    }
    if (kind === KEPT_VERSIONS || kind === KEPT_THINGS) {
      const renamed = lists.map((l) => l.map((v): unknown => keptAmong(v as AnyKept, ids)));
      return { kind, merged: mergeVersions({ identityOf, withId }, ...renamed) };
    }
    const { joining } = kind;
    const how = { identityOf, withId, ...(joining !== undefined && { joining }) };
    const merged = mergeVersions(how, ...lists);
    ids.set(kind, new Set(merged.all.map((v) => identityOf(v).id)));
    return { kind, merged };
  });
}

/**
 * An earlier version under the id that what it is one of has now: what was there as another version alone, or is the one
 * that keeps the id, has lost the sign of that.
 */
function keptAmong(kept: AnyKept, ids: ReadonlyMap<AnyKind, ReadonlySet<string>>): AnyKept {
  const { id } = valueOfKept(kept);
  const there = ids.get(kindOfKept(kept));
  const base = baseOf(id);
  if (there === undefined || there.has(id) || !there.has(base)) return kept;
  return kept.format === 'degreewise-version'
    ? { ...kept, phrase: { ...kept.phrase, id: base } }
    : { ...kept, thing: { ...kept.thing, id: base } };
}

/**
 * How phrases were played: of each what was kept last, since two of one are readings of the same playing. A version that
 * has another id than before, or none of its own, was played as the others were.
 */
function playedAmong(all: readonly AsPlayed[], phrases: readonly string[]): readonly AsPlayed[] {
  const own = latestBy(all, (id) => id);
  const ofVersions = latestBy(all, baseOf);
  const bases = new Set(phrases.map(baseOf));
  const left = [...own.values()].filter(({ id }) => !bases.has(baseOf(id)));
  const here = phrases.flatMap((id) => {
    const played = own.get(id) ?? ofVersions.get(baseOf(id));
    return played === undefined ? [] : [{ ...played, id }];
  });
  return [...here, ...left].sort((a, b) => (a.id < b.id ? -1 : 1));
}

function latestBy(
  all: readonly AsPlayed[],
  nameOf: (id: string) => string,
): ReadonlyMap<string, AsPlayed> {
  const latest = new Map<string, AsPlayed>();
  for (const played of all) {
    const name = nameOf(played.id);
    const other = latest.get(name);
    latest.set(name, other === undefined ? played : laterPlayed(other, played));
  }
  return latest;
}

import {
  type Mergeable,
  type Merged,
  mergeVersions,
  phraseContent,
} from '../../core/library/merge';
import type { Phrase } from '../../core/phrase/types';
import { encodeCompact, encodeDecoded } from '../../io/json/encode';
import { FILE_KINDS } from '../../io/kinds/file-kinds';
import type { AnyKind, Thing } from '../../io/kinds/kind';
import type { Taking } from '../../io/library/entries';
import { libraryOfTexts } from '../../publish/publish';
import type { Shell } from '../shell';
import { count } from '../words';

/** A phrase as it is written, which takes a fraction of the memory of one that is read. */
interface KeptPhrase {
  readonly id: string;
  readonly title: string;
  /** ISO 8601 in UTC. */
  readonly modified: string;
  /** As `encodeCompact` writes it. */
  readonly text: string;
}

const asPhrase = ({ text }: KeptPhrase): Phrase => JSON.parse(text);

const KEPT: Mergeable<KeptPhrase> = {
  identityOf: (kept) => kept,
  withId: (kept, id) => ({ ...kept, id, text: JSON.stringify({ ...asPhrase(kept), id }) }),
  contentOf: (kept) => phraseContent(asPhrase(kept)),
};

/** The phrases of all sources, what is the same in several once and read once. */
export class KeptPhrases implements Taking {
  private readonly byText = new Map<string, KeptPhrase>();

  readonly known = (text: string): string | null => this.byText.get(text)?.id ?? null;

  readonly take = (p: Phrase): void => this.keep(p, encodeDecoded(p));

  /** The same for a phrase of a score or a text, whose fields may be in any order. */
  readonly takeRead = (p: Phrase): void => this.keep(p, encodeCompact(p));

  private keep({ id, meta: { title, modified } }: Phrase, text: string): void {
    this.byText.set(text, { id, title, modified, text });
  }

  get all(): readonly KeptPhrase[] {
    return [...this.byText.values()];
  }
}

/** Writes several collections as one library, and names what was there in several versions. */
export async function writeMerged(
  shell: Shell,
  kept: readonly KeptPhrase[],
  collections: readonly (readonly Thing[])[],
  out: string,
  force: boolean,
): Promise<void> {
  const phrases = mergeVersions(KEPT, kept);
  const others = mergeOthers(collections);
  const things = others.flatMap(({ kind, merged }) => merged.all.map((value) => ({ kind, value })));
  const bytes = libraryOfTexts(
    phrases.all.map((p) => p.text),
    things,
  );
  const written = await shell.io.files.write(out, bytes, force);
  if (!written.ok) return shell.refuse(out, written.problems);
  if (written.value === 'taken') {
    return shell.misuse({
      message: `there is a file '${out}' already`,
      fix: 'Add --force to replace it.',
    });
  }
  const counts = [
    count(phrases.all.length, 'phrase'),
    ...others.map(({ kind, merged }) => count(merged.all.length, kind.noun)),
  ];
  shell.print(`wrote ${out}: ${counts.join(', ')}\n`);
  sayKept(shell, [phrases, ...others.map((o) => o.merged)]);
}

/** So many things that are there in several versions are named. */
const MOST_NAMED = 5;

/** What was there in several versions: where it is much, how much, and the first of it. */
function sayKept(shell: Shell, merged: readonly Merged<unknown>[]): void {
  const kept = merged.flatMap((m) => m.kept);
  const more = kept.length - MOST_NAMED;
  if (more > 0) {
    shell.remark(`${kept.length} things are there in several versions; all are kept. The first:\n`);
  }
  for (const { title, versions } of kept.slice(0, MOST_NAMED)) {
    const name = title === '' ? 'untitled' : `'${title}'`;
    shell.remark(`${name} is there in ${versions} versions; all are kept\n`);
  }
  if (more > 0) shell.remark(`and ${more} more\n`);
}

/** What is no phrase, merged kind by kind. */
function mergeOthers(
  collections: readonly (readonly Thing[])[],
): readonly { readonly kind: AnyKind; readonly merged: Merged<unknown> }[] {
  const there = new Set(collections.flatMap((c) => c.map((t) => t.kind)));
  const known = FILE_KINDS.filter((k) => there.has(k));
  return [...new Set([...known, ...there])].map((kind) => {
    const lists = collections.map((c) => c.filter((t) => t.kind === kind).map((t) => t.value));
    const withId = (value: unknown, id: string) =>
      kind.withIdentity(value, { ...kind.identityOf(value), id });
    const identityOf = (value: unknown) => kind.identityOf(value);
    const { joining } = kind;
    const how = { identityOf, withId, ...(joining !== undefined && { joining }) };
    return { kind, merged: mergeVersions(how, ...lists) };
  });
}

import { fingerprint, type Mergeable, phraseContent } from '../core/library/merge';
import type { Phrase } from '../core/phrase/types';
import { FileLibrary } from '../io/folder/file-library';
import type { LibraryEntry, ThingName } from '../io/folder/ports';
import { encodeCompact, encodeDecoded } from '../io/json/encode';
import type { Thing } from '../io/kinds/kind';
import { PHRASES } from '../io/kinds/kinds';
import type { Taking } from '../io/library/entries';
import { memoryScratch, type Scratch } from './scratch';

/** A phrase of which little is held, and the text in which it is written somewhere else. */
export interface KeptPhrase {
  readonly id: string;
  readonly title: string;
  /** ISO 8601 in UTC. */
  readonly modified: string;
  /** As `encodeCompact` writes it. */
  text(): string;
}

/** The whole phrase, read from its text each time. */
export const asPhrase = (kept: KeptPhrase): Phrase => JSON.parse(kept.text());

/** How such phrases are told apart and given other ids when libraries are merged. */
export const KEPT: Mergeable<KeptPhrase> = {
  identityOf: (kept) => kept,
  withId: (kept, id) => ({
    ...kept,
    id,
    text: () => JSON.stringify({ ...asPhrase(kept), id }),
  }),
  contentOf: (kept) => phraseContent(asPhrase(kept)),
};

/**
 * The phrases of all sources, what is the same in several once and read once. Their texts lie where there is
 * room for them: in memory is a line of each.
 */
export class KeptPhrases implements Taking {
  /** By a number made of the text, and how many others have that number. */
  private readonly byText = new Map<string, KeptPhrase>();

  constructor(private readonly scratch: Scratch = memoryScratch()) {}

  readonly known = (text: string): string | null => this.find(text).there?.id ?? null;

  readonly take = (p: Phrase): void => this.keep(p, encodeDecoded(p));

  /** The same for a phrase of a score or a text, whose fields may be in any order. */
  readonly takeRead = (p: Phrase): void => this.keep(p, encodeCompact(p));

  private keep({ id, meta: { title, modified } }: Phrase, text: string): void {
    const { key, there } = this.find(text);
    if (there !== null) return;
    const number = this.scratch.put(text);
    this.byText.set(key, { id, title, modified, text: () => this.scratch.get(number) });
  }

  private find(text: string): { readonly key: string; readonly there: KeptPhrase | null } {
    const made = fingerprint(text);
    for (let i = 0; ; i++) {
      const key = i === 0 ? made : `${made} ${i}`;
      const there = this.byText.get(key);
      if (there === undefined) return { key, there: null };
      if (there.text() === text) return { key, there };
    }
  }

  get all(): readonly KeptPhrase[] {
    return [...this.byText.values()];
  }
}

/** A library that goes into a folder where nothing is yet: a phrase is read when its file is written. */
export class KeptLibrary extends FileLibrary {
  private readonly phrases: ReadonlyMap<string, KeptPhrase>;

  constructor(phrases: readonly KeptPhrase[], others: readonly Thing[]) {
    super(others);
    this.phrases = new Map(phrases.map((p) => [p.id, p]));
  }

  override *entries(): Generator<LibraryEntry> {
    for (const { id, title } of this.phrases.values()) yield { kind: PHRASES, id, title };
    yield* super.entries();
  }

  override async load(names: readonly ThingName[]): Promise<readonly Thing[]> {
    const phrases = names.flatMap(({ kind, id }) => {
      const kept = kind === PHRASES ? this.phrases.get(id) : undefined;
      return kept === undefined ? [] : [{ kind: PHRASES, value: asPhrase(kept) }];
    });
    return [...phrases, ...(await super.load(names))];
  }
}

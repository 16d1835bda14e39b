import { factsOf } from '../core/library/facts';
import { compareTitles } from '../core/library/sort';
import type { Desk } from './at-rest';
import type { KnownFacts, LibrarySnapshot, PhraseEntry } from './types';

/** So many of the list are kept, so that some may go before it has to be made anew. */
export const KEPT = 36;
const FEWEST = 12;
/** More changes at a time, and the list is made anew before it is kept. */
const MOST_NEWS = 64;
/** Milliseconds after a change: those of one moment are kept together. */
const WAIT = 100;

/** Keeps what a long list begins with in step with the library, whatever page is shown. */
export class FrontKeeper {
  private timer: ReturnType<typeof setTimeout> | null = null;
  private readonly stop: () => void;

  /** @param first The first of `of` by title; null while that is not known. */
  constructor(
    private readonly desk: Desk,
    private of: readonly PhraseEntry[],
    private first: readonly KnownFacts[] | null,
  ) {
    this.stop = desk.view.subscribe(() => this.follow());
    this.follow();
  }

  /** Takes what was found to begin a list, if it still is the list. */
  give(of: readonly PhraseEntry[], first: readonly KnownFacts[]): void {
    if (of !== this.desk.view.snapshot().phrases) return;
    // The one that is known counts for the same list.
    if (of === this.of && this.first !== null) return;
    this.of = of;
    this.first = first.slice(0, KEPT);
    this.show();
    this.soon();
  }

  /** Keeps it anew: the log of heads has moved, or the list has. */
  soon(): void {
    if (this.timer !== null) clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      this.timer = null;
      // It is made anew at a later opening then.
      this.keep().catch(() => undefined);
    }, WAIT);
  }

  private follow(): void {
    // Opened anew, the library has another of these.
    if (!this.desk.current()) {
      this.stop();
      return;
    }
    const snapshot = this.desk.view.snapshot();
    if (snapshot.phrases === this.of) {
      // A lesson or another thing that was written has moved the log's end as well.
      if (this.first !== null) this.soon();
      return;
    }
    const known = snapshot.news.before === this.of ? this.first : null;
    this.of = snapshot.phrases;
    this.first =
      known === null ? null : changed(known, snapshot, (id) => this.desk.view.phrase(id));
    if (this.first === null) return;
    this.show();
    this.soon();
  }

  /** Who comes back to the list sees how it begins before all of it is in order again. */
  private show(): void {
    const { first, of, desk } = this;
    if (first === null) return;
    const phrases = first.flatMap((f) => desk.view.phrase(f.id) ?? []);
    desk.view.setFront({ total: of.length, phrases, facts: first.map((f) => f.facts) });
  }

  private async keep(): Promise<void> {
    const { desk } = this;
    // What other windows have written is in the list before it is said to be that of the log's end.
    const end = await desk.caughtUp();
    const { first, of } = this;
    if (first === null || !desk.current() || of !== desk.view.snapshot().phrases) return;
    await desk.backend.keepFront?.({ end, total: of.length, first });
  }
}

/** How a list begins after a change of it; null where that cannot be said without reading. */
function changed(
  first: readonly KnownFacts[],
  { news, phrases }: LibrarySnapshot,
  phrase: (id: string) => PhraseEntry | null,
): readonly KnownFacts[] | null {
  if (news.ids.size > MOST_NEWS) return null;
  const next = first.filter((f) => !news.ids.has(f.id));
  const last = next.at(-1);
  if (last === undefined || next.length < Math.min(FEWEST, phrases.length)) return null;
  for (const id of news.ids) {
    const entry = phrase(id);
    // What comes after the last of those that are known may come anywhere.
    if (entry === null || compareTitles({ id, title: entry.identity.title }, last.facts) > 0)
      continue;
    const value = entry.peek();
    if (value === null) return null;
    next.push({ id, sum: entry.sum, facts: factsOf(value) });
  }
  return next.sort((a, b) => compareTitles(a.facts, b.facts)).slice(0, KEPT);
}

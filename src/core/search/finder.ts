import { type Around, NOTHING_AROUND } from '../library/around';
import { ok, type Result } from '../result';
import { AlikeIndex } from './alike/alike';
import { type AlikeLine, alikeLine, alikeLineIn } from './alike/line';
import { type Asked, Asking, BY_TITLE } from './catalogue/answer';
import { Catalogue } from './catalogue/catalogue';
import { saysAll } from './catalogue/evaluate';
import type { Sheet } from './catalogue/sheet';
import { correctSearch, type Distance, type Instead } from './query/correct';
import { readQuery } from './query/read';
import type { QueryOrder } from './query/types';
import { asksWords } from './query/wordings';
import { writeQuery } from './query/write';

/** What was found for a text. */
export interface Answered {
  /** Ids in the order asked for. */
  readonly ids: readonly string[];
  /** Words that no phrase says, with what was looked for in their place. */
  readonly instead: readonly Instead[];
  /** The query that was answered, as text: what was typed, its slips mended. */
  readonly asked: string;
  /** It has words and names no order, so that what fits best comes first where nobody chose an order. */
  readonly bestFirst: boolean;
  /** The order that the text names, whatever somebody chose; null for none. */
  readonly named: QueryOrder | null;
}

/** What is being found for a text, piece by piece; phrases may not come or go meanwhile. */
export interface Begun {
  /** The first ids in the order asked for, fewer than so many where they take long. */
  readonly first: (many: number) => Answered;
  /** @returns the whole answer, or null where time was up before. */
  readonly goOn: (isOver: () => boolean) => Answered | null;
}

export interface LikeOne {
  readonly id: string;
  /** 0 for the same in any key, up to 1. */
  readonly unlikeness: number;
}

/** Two phrases that are the same or nearly so, in whatever keys. */
export interface Twins {
  readonly ids: readonly [string, string];
  readonly unlikeness: number;
}

export interface TwinsFound {
  readonly found: readonly Twins[];
  /** So many of all have been looked at. */
  readonly looked: number;
  readonly of: number;
}

/** Below it two phrases are called nearly the same: one or two notes of twenty differ. */
export const NEARLY = 0.05;
/** Shorter lines are alike by chance. */
export const LEAST_NOTES = 5;

/** Numbers of phrases that are gone are given up once there are so many more than of those that are there. */
const MOST_DEAD = 1000;

/** Everything that finds phrases of a library: by what is asked for, and by likeness. */
export class Finder {
  catalogue: Catalogue;
  private around = NOTHING_AROUND;
  /** Begun when it is first asked for. */
  private alike: AlikeIndex | null = null;
  /** The phrases of which the numbers lie below it have been read into it. */
  private alikeEnd = 0;

  /**
   * @param distance Between two words; without it slips are not mended.
   * @param catalogue What is known already.
   */
  constructor(
    private readonly distance: Distance | null = null,
    catalogue = new Catalogue(),
  ) {
    this.catalogue = catalogue;
  }

  put(sheet: Sheet): void {
    this.delete(sheet.facts.id);
    this.catalogue.put(sheet);
    const number = this.catalogue.end - 1;
    // What has not been read so far has its turn yet.
    if (this.alike === null || this.alikeEnd < number) return;
    this.alike.put(number, alikeLine(sheet));
    this.alikeEnd++;
  }

  /**
   * Reads how so many more phrases go, so that likeness in a large library can be read in slices. Who asks for it
   * before reads the rest.
   * @returns whether all have been read.
   */
  readLikeness(many = Number.POSITIVE_INFINITY): boolean {
    this.alike ??= new AlikeIndex();
    const { entries, pool, firstNote, end } = this.catalogue;
    const to = Math.min(end, this.alikeEnd + many);
    for (let n = this.alikeEnd; n < to; n++) {
      if (entries[n] === null) continue;
      this.alike.put(n, alikeLineIn(pool, firstNote.values[n]!, firstNote.values[n + 1]!));
    }
    this.alikeEnd = to;
    return to === end;
  }

  /** What the library knows of its phrases besides. */
  setAround(around: Around): void {
    this.around = around;
    this.catalogue.setAround(around);
  }

  delete(id: string): void {
    const number = this.catalogue.numberOf(id);
    if (number === null) return;
    this.catalogue.delete(id);
    this.alike?.delete(number);
    if (this.catalogue.end > 2 * this.catalogue.size + MOST_DEAD) this.tidy();
  }

  /** @param asked The order where the text names none. */
  ask(text: string, asked = BY_TITLE): Result<Answered> {
    const begun = this.begin(text, asked);
    return begun.ok ? ok(begun.value.goOn(() => false)!) : begun;
  }

  /** The same, to be found in slices. */
  begin(text: string, asked: Asked): Result<Begun> {
    const read = readQuery(text);
    if (!read.ok) return read;
    const { search, instead } = this.mended(read.value);
    const asking = new Asking(this.catalogue, search, Number.POSITIVE_INFINITY, asked);
    const bestFirst = search.order === null && asksWords(search.query);
    const rest = { instead, asked: writeQuery(search), bestFirst, named: search.order };
    return ok({
      first: (many) => ({ ids: asking.first(many), ...rest }),
      goOn: (isOver) => {
        const all = asking.goOn(isOver);
        return all === null ? null : { ids: all.ids, ...rest };
      },
    });
  }

  /** The phrases most like one that is here, the likest first, without itself. */
  like(id: string, most: number): readonly LikeOne[] {
    const number = this.catalogue.numberOf(id);
    if (number === null) return [];
    const index = this.likeness();
    const line = index.lineOf(number);
    return line === null ? [] : this.named(index.find(line, most, (n) => n !== number));
  }

  /** The phrases most like a melody. */
  likeLine(line: AlikeLine, most: number): readonly LikeOne[] {
    return this.named(this.likeness().find(line, most));
  }

  /**
   * Phrases that are the same music or nearly so, each pair once, those of the newest phrases first.
   * @param begin How many of the newest have been looked at before.
   * @param many So many are looked at now, so that a large library can be asked in slices.
   */
  twins(begin = 0, many = Number.POSITIVE_INFINITY): TwinsFound {
    const index = this.likeness();
    const found: Twins[] = [];
    const { end } = this.catalogue;
    const last = Math.max(0, end - begin - many);
    for (let n = end - begin - 1; n >= last; n--) {
      const line = this.catalogue.entries[n] === null ? null : index.lineOf(n);
      if (line === null || line.pitches.length < LEAST_NOTES) continue;
      for (const { id, unlikeness } of this.named(index.find(line, 2, (other) => other < n))) {
        if (unlikeness <= NEARLY) {
          found.push({ ids: [id, this.catalogue.factsOf(n).id], unlikeness });
        }
      }
    }
    return { found, looked: end - last, of: end };
  }

  private mended(search: Parameters<typeof correctSearch>[0]): ReturnType<typeof correctSearch> {
    const { catalogue: c, distance } = this;
    if (distance === null) return { search, instead: [] };
    const vocabulary = {
      says: (part: string) => c.words.says(part, c.alive),
      words: () => c.words.all(),
      has: (word: string) => c.words.has(word, c.alive),
      saysAll: (parts: readonly (readonly string[])[]) => saysAll(c, parts),
    };
    return correctSearch(search, vocabulary, distance);
  }

  private named(found: ReturnType<AlikeIndex['find']>): readonly LikeOne[] {
    return found.map(({ number, unlikeness }) => {
      return { id: this.catalogue.factsOf(number).id, unlikeness };
    });
  }

  private likeness(): AlikeIndex {
    this.readLikeness();
    return this.alike!;
  }

  /** The same phrases under new numbers, without room for those that are gone. */
  private tidy(): void {
    const old = this.catalogue;
    this.catalogue = new Catalogue();
    this.catalogue.setAround(this.around);
    this.alike = null;
    this.alikeEnd = 0;
    for (const [n, entry] of old.entries.entries()) {
      if (entry !== null) this.catalogue.put(old.sheetOf(n));
    }
  }
}

import type { LibraryOrder } from '../../library/sort';
import type { QueryOrder, Search } from '../query/types';
import { asksWords } from '../query/wordings';
import { Bits } from './bits';
import type { Catalogue } from './catalogue';
import { type Candidates, candidates } from './evaluate';
import { Ranks } from './ranks';

export interface Answer {
  /** How many phrases are what was looked for. */
  readonly total: number;
  /** Their ids in the order asked for, as many as were asked for. */
  readonly ids: readonly string[];
}

/** So many phrases have their notes looked at for the first of the answer, whatever is found. */
const MOST_LOOKED_AT = 2_000;
/** Words of 32 phrases, and places of the order, between two looks at the clock. */
const WORDS = 32;
const PLACES = 2_048;

/** In what order answers come where the text of a question names none. */
export interface Asked {
  /** As somebody chose; null: what fits best first where there are words, else as usual. */
  readonly chosen: LibraryOrder | null;
  /** Also among what fits alike. */
  readonly usual: LibraryOrder;
}

export const BY_TITLE: Asked = { chosen: null, usual: 'title' };

/** The order in which a question is answered. */
export function orderOf({ query, order }: Search, { chosen, usual }: Asked): QueryOrder {
  if (order !== null) return order;
  return { by: chosen ?? (asksWords(query) ? 'match' : usual), reversed: false };
}

/**
 * What was looked for, found piece by piece: the first of it in its order before all of it is known, and the rest in
 * slices. Phrases may not come or go meanwhile.
 */
export class Asking {
  private readonly open: Candidates;
  /** What is found or not looked at yet. */
  private readonly left: Bits;
  private readonly known: Bits;
  private readonly sorted: ArrayLike<number>;
  private readonly reversed: boolean;
  private word = 0;
  private place = 0;
  private total: number | null = null;
  private readonly ids: string[] = [];

  /**
   * @param most So many ids; the total counts all.
   * @param asked The order where the search names none.
   */
  constructor(
    private readonly c: Catalogue,
    search: Search,
    private readonly most = Number.POSITIVE_INFINITY,
    asked = BY_TITLE,
  ) {
    this.open = candidates(search.query, c, c.alive);
    this.left = this.open.may.copy();
    this.known = Bits.none(this.left.words.length * 32);
    const { by, reversed } = orderOf(search, asked);
    const sorted = c.sorted(by === 'match' ? asked.usual : by);
    this.sorted = by === 'match' ? new Ranks(c, search.query).inOrder(this.left, sorted) : sorted;
    this.reversed = reversed;
  }

  /** The first ids in the order asked for; fewer than wanted where much would have to be looked at. */
  first(many: number): readonly string[] {
    const { left, known } = this;
    const { holds } = this.open;
    const ids: string[] = [];
    let looked = 0;
    for (let i = 0; i < this.sorted.length && ids.length < many; i++) {
      const n = this.at(i);
      if (!left.has(n)) continue;
      if (holds !== null) {
        if (looked++ === MOST_LOOKED_AT) break;
        if (holds(n)) known.add(n);
        else {
          left.delete(n);
          continue;
        }
      }
      ids.push(this.c.ids[n]!);
    }
    return ids;
  }

  /** Goes on until time is up. @returns all of it once it is known. */
  goOn(isOver: () => boolean): Answer | null {
    const { left, known, ids } = this;
    const { holds } = this.open;
    const { length } = left.words;
    while (holds !== null && this.word < length) {
      const to = Math.min(length, this.word + WORDS);
      left.filter((n) => known.has(n) || holds(n), this.word, to);
      this.word = to;
      if (isOver()) return null;
    }
    this.total ??= left.count;
    const wanted = Math.min(this.most, this.total);
    while (ids.length < wanted && this.place < this.sorted.length) {
      const to = Math.min(this.sorted.length, this.place + PLACES);
      for (; this.place < to && ids.length < wanted; this.place++) {
        const n = this.at(this.place);
        if (left.has(n)) ids.push(this.c.ids[n]!);
      }
      if (ids.length < wanted && isOver()) return null;
    }
    return { total: this.total, ids };
  }

  private at(place: number): number {
    return this.sorted[this.reversed ? this.sorted.length - 1 - place : place]!;
  }
}

/**
 * The phrases that are what was looked for.
 * @param most So many ids; the total counts all.
 * @param asked The order where the search names none.
 */
export function answer(
  c: Catalogue,
  search: Search,
  most = Number.POSITIVE_INFINITY,
  asked = BY_TITLE,
): Answer {
  return new Asking(c, search, most, asked).goOn(() => false)!;
}

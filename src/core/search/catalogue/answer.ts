import type { LibraryOrder } from '../../library/sort';
import type { Search } from '../query/types';
import { Bits } from './bits';
import type { Catalogue } from './catalogue';
import { type Candidates, candidates } from './evaluate';

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

/**
 * What was looked for, found piece by piece: the first of it in its order before all of it is known, and the rest in
 * slices. Phrases may not come or go meanwhile.
 */
export class Asking {
  private readonly open: Candidates;
  /** What is found or not looked at yet. */
  private readonly left: Bits;
  private readonly known: Bits;
  private readonly sorted: readonly number[];
  private readonly reversed: boolean;
  private word = 0;
  private place = 0;
  private total: number | null = null;
  private readonly ids: string[] = [];

  /**
   * @param most So many ids; the total counts all.
   * @param usual The order where the search names none.
   */
  constructor(
    private readonly c: Catalogue,
    search: Search,
    private readonly most = Number.POSITIVE_INFINITY,
    usual: LibraryOrder = 'title',
  ) {
    this.open = candidates(search.query, c, c.alive);
    this.left = this.open.may.copy();
    this.known = Bits.none(this.left.words.length * 32);
    const { by, reversed } = search.order ?? { by: usual, reversed: false };
    this.sorted = c.sorted(by);
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
 * @param usual The order where the search names none.
 */
export function answer(
  c: Catalogue,
  search: Search,
  most = Number.POSITIVE_INFINITY,
  usual: LibraryOrder = 'title',
): Answer {
  return new Asking(c, search, most, usual).goOn(() => false)!;
}

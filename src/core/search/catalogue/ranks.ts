import { ALL_IN_TITLE, MATCH, MATCHES, STANDS, standsIn } from '../match';
import type { Query } from '../query/types';
import { type Wanted, wordingsOf } from '../query/wordings';
import type { Bits } from './bits';
import type { Catalogue } from './catalogue';

/** Bits of one wanted word in a code: one, two or three for the numbers of `STANDS`, so that the best of several words is their union. */
const BITS = 3;

/** The wanted words of one wording, as masks of codes. */
interface Masks {
  /** The place of each among all wanted words. */
  readonly order: readonly number[];
  /** Those that stand somewhere, begin a word, are one. */
  readonly inside: number;
  readonly begins: number;
  readonly whole: number;
}

/**
 * How well the words of a question fit phrases: what `matchOf` says, from numbers. Each wanted word is compared with the
 * vocabulary once, and then no text is looked at.
 */
export class Ranks {
  private readonly wordings: readonly Masks[];
  /** How all wanted words stand in each word of the vocabulary. */
  private readonly codes: Int32Array;

  constructor(
    private readonly c: Catalogue,
    query: Query,
  ) {
    this.codes = new Int32Array(c.words.names.length);
    const known = new Map<string, number>();
    const placeOf = (wanted: Wanted) => {
      const key = `${wanted.whole} ${wanted.text}`;
      const place = known.get(key) ?? known.size;
      if (place === known.size) this.compare(wanted, place);
      known.set(key, place);
      return place;
    };
    this.wordings = wordingsOf(query)
      .filter((w) => w.length > 0)
      .map((w) => masksOf(w.map(placeOf)));
  }

  /** The numbers of a set in the order of how well they fit, equal ones as in another order. */
  inOrder(of: Bits, sorted: readonly number[]): ArrayLike<number> {
    const ranks = this.ranksOf(of);
    const starts = new Uint32Array(MATCHES + 1);
    for (let n = 0; n < ranks.length; n++) if (ranks[n]! > 0) starts[ranks[n]!]!++;
    for (let r = 1; r <= MATCHES; r++) starts[r]! += starts[r - 1]!;
    const ordered = new Uint32Array(starts[MATCHES]!);
    for (let i = 0; i < sorted.length; i++) {
      const rank = ranks[sorted[i]!]!;
      if (rank > 0) ordered[starts[rank - 1]!++] = sorted[i]!;
    }
    return ordered;
  }

  /** How well they fit each phrase of a set, and 1 more: 0 for the others. By number, since what is said lies in that order. */
  private ranksOf(of: Bits): Uint8Array {
    const { wordings, codes } = this;
    const words = this.c.said.words.values;
    const ends = this.c.said.ends.values;
    const ranks = new Uint8Array(this.c.end);
    for (let n = 0, from = 0; n < ranks.length; n++) {
      const title = ends[3 * n]!;
      const last = ends[3 * n + 2]!;
      if (of.has(n)) {
        let inTitle = 0;
        for (let i = from; i < title; i++) inTitle |= codes[words[i]!]!;
        let best: number = MATCH.elsewhere;
        if (inTitle !== 0) {
          for (const w of wordings) {
            const there = inTitle & w.inside;
            if (there === 0) continue;
            best = Math.min(best, this.inTitle(w, there, inTitle, from, title));
          }
        }
        if (best === MATCH.elsewhere) best = this.besides(title, ends[3 * n + 1]!, last);
        ranks[n] = best + 1;
      }
      from = last;
    }
    return ranks;
  }

  /** Of what stands in no title. @param from Where tags begin. @param tags Where notes begin. @param end Where they end. */
  private besides(from: number, tags: number, end: number): number {
    const words = this.c.said.words.values;
    for (let i = from; i < end; i++) {
      // Each wanted word stands in a wording of which none stands in the title.
      if (this.codes[words[i]!] !== 0) return i < tags ? MATCH.tags : MATCH.notes;
    }
    return MATCH.elsewhere;
  }

  /** Of a wording of which words stand in the title. */
  private inTitle(w: Masks, there: number, all: number, from: number, title: number): number {
    const begins = this.beginsWith(w, from, title);
    if (begins !== null) return begins;
    if ((all & w.whole) === w.whole) return ALL_IN_TITLE[STANDS.whole]!;
    if ((all & w.begins) === w.begins) return ALL_IN_TITLE[STANDS.begins]!;
    if (there === w.inside) return ALL_IN_TITLE[STANDS.inside]!;
    const many = w.order.filter((place) => (there & (1 << (BITS * place))) !== 0).length;
    return 2 * many >= w.order.length ? MATCH.half : MATCH.some;
  }

  /** Null where the title does not begin with the wording. */
  private beginsWith({ order }: Masks, from: number, title: number): number | null {
    const { codes } = this;
    const words = this.c.said.words.values;
    const last = order.length - 1;
    if (title - from <= last) return null;
    for (let i = 0; i <= last; i++) {
      const stands = stood(codes[words[from + i]!]!, order[i]!);
      if (stands < (i < last ? STANDS.whole : STANDS.begins)) return null;
      if (i === last && stands === STANDS.whole && title - from === order.length) {
        return MATCH.title;
      }
    }
    return MATCH.begins;
  }

  private compare(wanted: Wanted, place: number): void {
    const { words } = this.c;
    for (const n of words.matching(wanted.text)) {
      this.codes[n]! |= ((1 << standsIn(wanted, words.bare[n]!)) - 1) << (BITS * place);
    }
  }
}

function masksOf(order: readonly number[]): Masks {
  const of = (stands: number) =>
    order.reduce((mask, place) => mask | (((1 << stands) - 1) << (BITS * place)), 0);
  return {
    order,
    inside: of(STANDS.inside),
    begins: of(STANDS.begins),
    whole: of(STANDS.whole),
  };
}

/** A number of `STANDS`. */
function stood(code: number, place: number): number {
  const bits = (code >>> (BITS * place)) & 7;
  return 32 - Math.clz32(bits);
}

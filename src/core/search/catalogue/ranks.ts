import { ALL_IN_TITLE, MATCH, MATCHES, STANDS, standsIn } from '../match';
import type { Query } from '../query/types';
import { bareWord, type Wanted, type Wording, wordingsOf } from '../query/wordings';
import type { Bits } from './bits';
import type { Catalogue } from './catalogue';

/** How a wanted word stands in each word of the vocabulary, by number (`STANDS`). */
type Stands = Uint8Array;

/**
 * How well the words of a question fit phrases: what `matchOf` says, from numbers. Each wanted word is compared with the
 * vocabulary once, and then no text is looked at.
 */
export class Ranks {
  private readonly wordings: readonly (readonly Stands[])[];

  constructor(
    private readonly c: Catalogue,
    query: Query,
  ) {
    const known = new Map<string, Stands>();
    const standsOf = (wanted: Wanted) => {
      const key = `${wanted.whole} ${wanted.text}`;
      const stands = known.get(key) ?? this.compare(wanted);
      known.set(key, stands);
      return stands;
    };
    this.wordings = wordingsOf(query).map((w: Wording) => w.map(standsOf));
  }

  /** The numbers of a set in the order of how well they fit, equal ones as in another order. */
  inOrder(of: Bits, sorted: readonly number[]): readonly number[] {
    const ranks = new Uint8Array(sorted.length);
    const starts = new Uint32Array(MATCHES + 1);
    for (let i = 0; i < sorted.length; i++) {
      const n = sorted[i]!;
      if (!of.has(n)) continue;
      const rank = this.of(n);
      ranks[i] = rank + 1;
      starts[rank + 1]!++;
    }
    for (let r = 1; r <= MATCHES; r++) starts[r]! += starts[r - 1]!;
    const ordered = new Array<number>(starts[MATCHES]!);
    for (let i = 0; i < sorted.length; i++) {
      const rank = ranks[i]!;
      if (rank > 0) ordered[starts[rank - 1]!++] = sorted[i]!;
    }
    return ordered;
  }

  of(number: number): number {
    let best: number = MATCH.elsewhere;
    for (const w of this.wordings) {
      if (w.length > 0) best = Math.min(best, this.matchOne(w, number));
    }
    return best;
  }

  private matchOne(wording: readonly Stands[], number: number): number {
    const { words, ends } = this.c.said;
    const from = number === 0 ? 0 : ends.values[3 * number - 1]!;
    const title = ends.values[3 * number]!;
    if (title - from >= wording.length) {
      const last = wording.length - 1;
      let i = 0;
      while (i < last && wording[i]![words.values[from + i]!] === STANDS.whole) i++;
      const end = i === last ? wording[last]![words.values[from + last]!]! : 0;
      if (end >= STANDS.begins) {
        const all = end === STANDS.whole && title - from === wording.length;
        return all ? MATCH.title : MATCH.begins;
      }
    }
    let [worst, many]: number[] = [STANDS.whole, 0];
    for (const stands of wording) {
      const best = this.bestIn(stands, from, title);
      if (best > 0) many!++;
      worst = Math.min(worst!, best);
    }
    if (worst! > 0) return ALL_IN_TITLE[worst!]!;
    if (many! > 0) return 2 * many! >= wording.length ? MATCH.half : MATCH.some;
    const [tags, notes] = [ends.values[3 * number + 1]!, ends.values[3 * number + 2]!];
    if (wording.some((stands) => this.bestIn(stands, title, tags) > 0)) return MATCH.tags;
    const said = wording.some((stands) => this.bestIn(stands, tags, notes) > 0);
    return said ? MATCH.notes : MATCH.elsewhere;
  }

  /** How it stands at best in the words from one place up to another. */
  private bestIn(stands: Stands, from: number, to: number): number {
    const { values } = this.c.said.words;
    let best = 0;
    for (let i = from; i < to; i++) best = Math.max(best, stands[values[i]!]!);
    return best;
  }

  private compare(wanted: Wanted): Stands {
    const { words } = this.c;
    const stands = new Uint8Array(words.names.length);
    for (const n of words.matching(wanted.text)) {
      stands[n] = standsIn(wanted, bareWord(words.names[n]!));
    }
    return stands;
  }
}

import { foldText } from '../../library/fold';
import { formatDegree } from '../../theory/degree';
import { NO_CHORD } from '../chord-test';
import { both, either } from '../query/join';
import type { Atom, Query } from '../query/types';
import { maySayNumeral, sayingsOf, saysFolded, saysNumeral } from '../says';
import { changeTest, keepRow, type Test, testOf } from './atom-tests';
import { Bits } from './bits';
import type { Catalogue } from './catalogue';
import { degreeCode } from './sheet';

/** What a query may find, and what tells which of it it does, asked one by one. */
export interface Candidates {
  /** Not to be changed: it may be the set that was searched. */
  readonly may: Bits;
  /** Null where all of them are found. */
  readonly holds: Test | null;
}

/** From this cost on a question is left to be asked one by one: it looks at notes. */
const DEAR = 6;

/**
 * The phrases of a set that a query may find. What is cheap is answered at once, so that what looks at notes
 * is asked of few, and of no more than somebody wants to see.
 */
export function candidates(q: Query, c: Catalogue, within: Bits): Candidates {
  if (costOf(q) < DEAR) return { may: evaluate(q, c, within), holds: null };
  switch (q.kind) {
    case 'both': {
      let may = within;
      const tests: Test[] = [];
      for (const part of byCost(q.parts)) {
        const some = candidates(part, c, may);
        may = some.may;
        if (some.holds !== null) tests.push(some.holds);
        if (may.isEmpty) break;
      }
      return { may, holds: tests.length === 0 ? null : (n) => tests.every((t) => t(n)) };
    }
    case 'either':
      return eitherOf(q.parts, c, within);
    case 'not': {
      const { may, holds } = candidates(q.part, c, within);
      return { may: within, holds: (n) => !(may.has(n) && (holds === null || holds(n))) };
    }
    case 'row': {
      const may = q.over === null ? within.copy() : holding(q.over, c, within);
      return { may, holds: keepRow(q, c, may) };
    }
    case 'rhythm':
    case 'contour':
    case 'intervals':
      return { may: within, holds: testOf(q, c) };
    default:
      return { may: evaluate(q, c, within), holds: null };
  }
}

function eitherOf(parts: readonly Query[], c: Catalogue, within: Bits): Candidates {
  const may = Bits.none(within.words.length * 32);
  const sure = Bits.none(within.words.length * 32);
  const open: { readonly may: Bits; readonly holds: Test }[] = [];
  for (const part of byCost(parts)) {
    const some = candidates(part, c, within);
    may.addAll(some.may);
    if (some.holds === null) sure.addAll(some.may);
    else open.push({ may: some.may, holds: some.holds });
  }
  if (open.length === 0) return { may, holds: null };
  return { may, holds: (n) => sure.has(n) || open.some((o) => o.may.has(n) && o.holds(n)) };
}

function byCost(parts: readonly Query[]): readonly Query[] {
  return [...parts].sort((a, b) => costOf(a) - costOf(b));
}

/** Whether a phrase says one at least of each of these words. */
export function saysAll(c: Catalogue, parts: readonly (readonly string[])[]): boolean {
  const asked = parts.map((words) => either(words.map((text): Query => ({ kind: 'text', text }))));
  return !evaluate(both(asked), c, c.alive).isEmpty;
}

/** The phrases of a set of which a query holds. */
function evaluate(q: Query, c: Catalogue, within: Bits): Bits {
  switch (q.kind) {
    case 'all':
      return within.copy();
    case 'both': {
      let left = within;
      for (const part of byCost(q.parts)) {
        left = evaluate(part, c, left);
        if (left.isEmpty) break;
      }
      return left;
    }
    case 'either': {
      const left = within.copy();
      const found = Bits.none(within.words.length * 32);
      for (const part of byCost(q.parts)) {
        const some = evaluate(part, c, left);
        found.addAll(some);
        left.deleteAll(some);
      }
      return found;
    }
    case 'not': {
      const left = within.copy();
      left.deleteAll(evaluate(q.part, c, within));
      return left;
    }
    case 'text':
      return evaluateText(q.text, c, within);
    case 'numeral':
      return evaluateNumeral(q, c, within);
    case 'degree':
      return evaluateDegree(q, c, within);
    case 'in':
      return evaluateIn(q, c, within);
    case 'member':
    case 'used':
      return evaluateAround(q, c, within);
    case 'chord':
      return holding(q.chord, c, within);
    case 'change': {
      let left = within;
      for (const chord of q.chords) left = holding(chord, c, left);
      left.filter(changeTest(q.chords, c));
      return left;
    }
    case 'row':
    case 'rhythm':
    case 'contour':
    case 'intervals': {
      const { may, holds } = candidates(q, c, within);
      const left = may.copy();
      if (holds !== null) left.filter(holds);
      return left;
    }
    default: {
      const left = within.copy();
      left.filter(testOf(q, c));
      return left;
    }
  }
}

/** The phrases of a set whose lane has a chord, or N.C. */
function holding(chord: string, c: Catalogue, within: Bits): Bits {
  if (chord === NO_CHORD) {
    const left = within.copy();
    left.filter(changeTest([chord], c));
    return left;
  }
  const found = c.holders.with(c.chords.fitting(chord), c, within.words.length * 32);
  found.keep(within);
  return found;
}

/** Roughly how long it takes to ask one phrase, the quickest first. */
function costOf(q: Query): number {
  switch (q.kind) {
    case 'text':
    case 'numeral':
      return 2;
    case 'in':
      return 2;
    case 'row':
      return 6;
    case 'rhythm':
    case 'contour':
    case 'intervals':
      return 7;
    case 'degree':
    case 'change':
    case 'chord':
      return 3;
    case 'both':
    case 'either':
      return Math.max(...q.parts.map(costOf)) + 1;
    case 'not':
      return costOf(q.part) + 1;
    default:
      return 1;
  }
}

function evaluateText(text: string, c: Catalogue, within: Bits): Bits {
  const found = saying(text, c, within);
  if (text.includes(' ')) found.filter((n) => c.factsOf(n).text.includes(text));
  return found;
}

/** A chord of the lane, or a word of title or tags. */
function evaluateNumeral(a: Atom & { kind: 'numeral' }, c: Catalogue, within: Bits): Bits {
  const says = saysNumeral(a.numeral);
  const may = maySayNumeral(a.numeral);
  return orSaid(c, within, holding(a.numeral, c, within), may, (n) => {
    const { title, tags } = c.factsOf(n);
    return says(title) || tags.some(says);
  });
}

/** A degree of a note, the chord of that name, or a word of title or tags. */
function evaluateDegree({ degree }: Atom & { kind: 'degree' }, c: Catalogue, within: Bits): Bits {
  const code = degreeCode(degree);
  const [low, high] = code < 32 ? [1 << code, 0] : [0, 1 << (code - 32)];
  const holds = (n: number) =>
    (c.degreesLow.values[n]! & low) !== 0 || (c.degreesHigh.values[n]! & high) !== 0;
  const says = saysFolded(sayingsOf(degree));
  const name = foldText(formatDegree(degree));
  const having = within.copy();
  having.filter(holds);
  // Names of chords begin with a letter.
  const mayBeChord = /^[a-g]/u.test(name);
  return orSaid(c, within, having, says, (n) => {
    const { title, tag } = c.entries[n]!.said;
    const { chords } = c.factsOf(n);
    return (
      title.some(says) || tag.some(says) || (mayBeChord && chords.some((s) => foldText(s) === name))
    );
  });
}

/** What holds, or is said; title, tags and chords are part of the text, so that few are asked. */
function orSaid(
  c: Catalogue,
  within: Bits,
  found: Bits,
  word: (word: string) => boolean,
  says: Test,
): Bits {
  const saying = c.words.where(word, within.words.length * 32);
  saying.keep(within);
  saying.deleteAll(found);
  saying.filter(says);
  found.addAll(saying);
  return found;
}

function evaluateIn(a: Atom & { kind: 'in' }, c: Catalogue, within: Bits): Bits {
  const found = saying(a.text, c, within);
  found.filter((n) => c.entries[n]!.said[a.field].some((t) => t.includes(a.text)));
  return found;
}

/** The phrases of which the words have those of a text: the first as their end, the last as their beginning. */
function saying(text: string, c: Catalogue, within: Bits): Bits {
  const size = within.words.length * 32;
  const words = text.split(' ');
  const last = words.length - 1;
  if (last === 0) {
    const found = c.words.containing(text, size);
    found.keep(within);
    return found;
  }
  const found = within.copy();
  for (const [i, word] of words.entries()) {
    if (word === '') continue;
    const holds = (w: string) =>
      i === 0 ? w.endsWith(word) : i === last ? w.startsWith(word) : w === word;
    found.keep(c.words.where(holds, size));
  }
  return found;
}

/** What a collection holds, or a day: the phrases it names are looked up, and no other is asked. */
function evaluateAround(a: Atom & { kind: 'member' | 'used' }, c: Catalogue, within: Bits): Bits {
  const found = Bits.none(within.words.length * 32);
  const add = (id: string) => {
    const n = c.numberOf(id);
    if (n !== null) found.add(n);
  };
  if (a.kind === 'member') {
    for (const { title, phrases } of c.around.collections) {
      if (title.includes(a.text)) for (const id of phrases) add(id);
    }
  } else {
    const { day } = a;
    for (const [id, days] of c.around.uses) {
      if (day === null || days.some((d) => d.startsWith(day))) add(id);
    }
    if (day === null) {
      const never = within.copy();
      never.deleteAll(found);
      return never;
    }
  }
  found.keep(within);
  return found;
}

import { ChoiceCounter, type LibraryChoices } from '../../core/library/choices';
import type { PhraseFacts } from '../../core/library/facts';

/** Milliseconds of work between two chances for the page to answer. */
const SLICE = 10;
/** So many are put in order at a time; the pieces are then joined. */
const PIECE = 1_000;
/** So many are passed before the clock is looked at. */
const OFTEN = 256;

/** Lets the page answer where it has worked long enough; throws where the work is no longer wanted. */
export class Slices {
  private end = performance.now() + SLICE;
  private passed = 0;

  constructor(private readonly wanted: () => boolean) {}

  /** To be awaited where it gives a promise. */
  pass(): Promise<void> | null {
    if (++this.passed % OFTEN !== 0 || performance.now() < this.end) return null;
    return this.rest();
  }

  async rest(): Promise<void> {
    await new Promise((resolve) => setTimeout(resolve));
    if (!this.wanted()) throw new NoLongerWanted();
    this.end = performance.now() + SLICE;
  }
}

/** Sorting was given up, since something else is wanted. */
export class NoLongerWanted extends Error {}

type Compare<T> = (a: T, b: T) => number;

/** A sorted copy, made while the page goes on answering. Equal ones keep their order. */
export async function sortedInSlices<T>(
  list: readonly T[],
  compare: Compare<T>,
  slices: Slices,
): Promise<readonly T[]> {
  let pieces: (readonly T[])[] = [];
  for (let at = 0; at < list.length; at += PIECE) {
    pieces.push(list.slice(at, at + PIECE).sort(compare));
    await slices.rest();
  }
  while (pieces.length > 1) {
    const next: (readonly T[])[] = [];
    for (let i = 0; i < pieces.length; i += 2) {
      const [a, b] = [pieces[i]!, pieces[i + 1]];
      next.push(b === undefined ? a : await merged(a, b, compare, slices));
    }
    pieces = next;
  }
  return pieces[0] ?? [];
}

async function merged<T>(
  a: readonly T[],
  b: readonly T[],
  compare: Compare<T>,
  slices: Slices,
): Promise<readonly T[]> {
  const out: T[] = [];
  let [i, j] = [0, 0];
  while (i < a.length && j < b.length) {
    out.push(compare(a[i]!, b[j]!) <= 0 ? a[i++]! : b[j++]!);
    const rest = slices.pass();
    if (rest !== null) await rest;
  }
  for (; i < a.length; i++) out.push(a[i]!);
  for (; j < b.length; j++) out.push(b[j]!);
  return out;
}

/** So many new ones are cheaper sorted into an old order than all sorted anew. */
const FEW = 2_000;

/**
 * Puts a list in order of which most was in that order before: what came is sorted in, what went is
 * left out. Null where too much is new.
 */
export async function sortedAgain<T>(
  before: readonly T[],
  list: readonly T[],
  compare: Compare<T>,
  slices: Slices,
): Promise<readonly T[] | null> {
  const fresh = new Set(list);
  const kept: T[] = [];
  for (const one of before) {
    if (fresh.delete(one)) kept.push(one);
    const rest = slices.pass();
    if (rest !== null) await rest;
  }
  if (fresh.size > FEW) return null;
  if (fresh.size === 0) return kept;
  return merged(kept, [...fresh].sort(compare), compare, slices);
}

/**
 * Puts things in order while the page goes on answering; null where that is no longer wanted.
 * @param before The order that most of them were in before; null for none.
 */
export function putInOrder<T>(
  list: () => readonly T[],
  before: readonly T[] | null,
  compare: Compare<T>,
  wanted: () => boolean,
): Promise<readonly T[] | null> {
  return unlessUnwanted(async () => {
    const slices = new Slices(wanted);
    await slices.rest();
    const all = list();
    const again = before === null ? null : await sortedAgain(before, all, compare, slices);
    return again ?? sortedInSlices(all, compare, slices);
  });
}

/** What occurs in a library, as `choicesOf`; null where that is no longer wanted. */
export function choicesInSlices(
  facts: readonly PhraseFacts[],
  wanted: () => boolean,
): Promise<LibraryChoices | null> {
  return unlessUnwanted(async () => {
    const slices = new Slices(wanted);
    const counter = new ChoiceCounter();
    for (const f of facts) {
      counter.add(f);
      const rest = slices.pass();
      if (rest !== null) await rest;
    }
    return counter.choices();
  });
}

/** What the work gives; null where it is no longer wanted. */
export async function unlessUnwanted<T>(work: () => Promise<T>): Promise<T | null> {
  try {
    return await work();
  } catch (e) {
    if (!(e instanceof NoLongerWanted)) throw e;
    return null;
  }
}

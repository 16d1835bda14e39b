import type { Meta, Phrase } from '../phrase/types';
import { foldText } from './fold';

/** A phrase has no more tags. */
export const MOST_TAGS = 100;

/** Characters of a tag. */
export const LONGEST_TAG = 100;

/** What is changed of many phrases at once; what is absent stays as it is. */
export interface Together {
  /** Added behind those that are there; one that is there already stays where and as it is. */
  readonly addTags?: readonly string[];
  /** Compared folded (`foldText`). */
  readonly removeTags?: readonly string[];
  /** Null takes it away. */
  readonly level?: Meta['level'] | null;
  /** Empty takes it away. */
  readonly styleOf?: string;
}

/** A phrase after a change of many; the same object where nothing of it changes. */
export function changedTogether(p: Phrase, to: Together): Phrase {
  const tags = tagsAfter(p.meta.tags, to.addTags ?? [], to.removeTags ?? []);
  const level = to.level === undefined ? p.meta.level : (to.level ?? undefined);
  const style = to.styleOf === undefined ? p.meta.styleOf : to.styleOf.trim() || undefined;
  return withFields(p, { tags, level, styleOf: style });
}

/**
 * A phrase in which some tags have become another, in the place of the first of them; the same object
 * where it has none of them.
 * @param from Compared folded.
 * @param to Empty takes them away.
 */
export function retagged(p: Phrase, from: readonly string[], to: string): Phrase {
  const gone = new Set(from.map(foldText));
  const is = foldText(to);
  if (!p.meta.tags.some((t) => gone.has(foldText(t)))) return p;
  const tags: string[] = [];
  let placed = to.trim() === '';
  for (const tag of p.meta.tags) {
    const folded = foldText(tag);
    if (!gone.has(folded) && folded !== is) tags.push(tag);
    else if (!placed) {
      tags.push(to.trim());
      placed = true;
    }
  }
  return withFields(p, { ...p.meta, tags, level: p.meta.level, styleOf: p.meta.styleOf });
}

/**
 * A phrase with what a change of many has changed put back, as far as nobody has changed it since.
 * @param before The phrase before that change, and `after` it.
 */
export function putBack(now: Phrase, before: Phrase, after: Phrase): Phrase {
  const field = <K extends 'tags' | 'level' | 'styleOf'>(k: K): Meta[K] =>
    same(now.meta[k], after.meta[k]) ? before.meta[k] : now.meta[k];
  return withFields(now, { tags: field('tags'), level: field('level'), styleOf: field('styleOf') });
}

/** Tags as they are typed into one field: parted by commas, each once. */
export function readTags(text: string): readonly string[] {
  const tags = new Map<string, string>();
  for (const part of text.split(',')) {
    const tag = [...part.trim().replaceAll(/\s+/gu, ' ')].slice(0, LONGEST_TAG).join('');
    if (tag !== '' && !tags.has(foldText(tag))) tags.set(foldText(tag), tag);
  }
  return [...tags.values()];
}

function tagsAfter(
  tags: readonly string[],
  add: readonly string[],
  remove: readonly string[],
): readonly string[] {
  // What is added is not taken away, and stays in its place.
  const wanted = new Set(add.map(foldText));
  const gone = new Set(remove.map(foldText).filter((t) => !wanted.has(t)));
  const left = tags.filter((t) => !gone.has(foldText(t)));
  const known = new Set(left.map(foldText));
  for (const tag of add) {
    if (known.has(foldText(tag)) || left.length >= MOST_TAGS) continue;
    known.add(foldText(tag));
    left.push(tag);
  }
  return left;
}

interface Fields {
  readonly tags: readonly string[];
  readonly level: Meta['level'] | undefined;
  readonly styleOf: string | undefined;
}

function withFields(p: Phrase, { tags, level, styleOf }: Fields): Phrase {
  const { meta } = p;
  if (same(tags, meta.tags) && level === meta.level && styleOf === meta.styleOf) return p;
  const { level: _, styleOf: __, ...rest } = meta;
  return {
    ...p,
    meta: {
      ...rest,
      tags,
      ...(level === undefined ? {} : { level }),
      ...(styleOf === undefined ? {} : { styleOf }),
    },
  };
}

function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

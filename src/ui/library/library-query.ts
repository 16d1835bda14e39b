import { type LibraryFilter, NO_FILTER } from '../../core/library/filter';
import { LIBRARY_ORDERS, type LibraryOrder } from '../../core/library/sort';
import { formatDegree, parseDegree } from '../../core/theory/degree';
import { formatKey, parseKey } from '../../core/theory/key';
import type { Query } from '../shared/query';

/** What fits best comes first by itself, so that nobody has to choose it. */
export type ChosenOrder = Exclude<LibraryOrder, 'match'>;

/** What is looked for, and in what order. */
export interface LibraryView {
  readonly filter: LibraryFilter;
  /** Null where nobody chose one: what fits best first where words are asked for, else as usual. */
  readonly order: ChosenOrder | null;
}

const CHOSEN_ORDERS = LIBRARY_ORDERS.filter((o) => o !== 'match');

const LEVELS = [1, 2, 3, 4, 5] as const;

/** The view an address asks for; what cannot be read in it is left out. */
export function readView(q: Query): LibraryView {
  return {
    filter: {
      words: q.find ?? NO_FILTER.words,
      like: q.like ?? NO_FILTER.like,
      tags: list(q.tags).map(decodeTag),
      key: parseKey(q.key ?? ''),
      chord: q.chord ?? NO_FILTER.chord,
      levels: LEVELS.filter((l) => list(q.levels).includes(String(l))),
      degrees: list(q.degrees).flatMap((d) => parseDegree(d) ?? []),
    },
    order: CHOSEN_ORDERS.find((o) => o === q.order) ?? null,
  };
}

/**
 * The view in another order. One that stands in the text would go before it, and is taken out.
 * @param order `match` for that of nobody's choice.
 */
export function inOrder(view: LibraryView, order: LibraryOrder): LibraryView {
  const { words } = view.filter;
  // In quotes it is something that is looked for.
  const rest = words.replace(
    /["“”](?:\\.|[^"“”\\])*["“”]|(?<![^\s,()])order:[^\s,()]*\s?/giu,
    (part) => (/^order:/iu.test(part) ? '' : part),
  );
  return {
    filter: { ...view.filter, words: rest === words ? words : withoutEmpty(rest).trim() },
    order: order === 'match' ? null : order,
  };
}

/** Without the parentheses that nothing stands in any more, which the language does not take. */
function withoutEmpty(text: string): string {
  const less = text.replace(/["“”](?:\\.|[^"“”\\])*["“”]|\([\s,]*\)\s?/gu, (part) =>
    part.startsWith('(') ? '' : part,
  );
  return less === text ? text : withoutEmpty(less);
}

/** The address of a view; `readView` reads it back. Defaults are left out. */
export function writeView({ filter, order }: LibraryView): Query {
  return {
    find: filter.words,
    like: filter.like,
    tags: filter.tags.map(encodeURIComponent).join(','),
    key: filter.key === null ? '' : formatKey(filter.key),
    chord: filter.chord,
    levels: filter.levels.join(','),
    degrees: filter.degrees.map(formatDegree).join(','),
    order: order ?? '',
  };
}

function list(text: string | undefined): readonly string[] {
  return (text ?? '').split(',').filter((x) => x !== '');
}

/** A tag may hold a comma; one that was typed into the address by hand may hold anything. */
function decodeTag(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

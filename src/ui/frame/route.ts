import type { Query } from '../shared/query';

/** Every place of the app. The address of each can be kept and shared. */
export type Route =
  | { readonly page: 'library'; readonly query: Query }
  | { readonly page: 'phrase'; readonly id: string; readonly query: Query }
  | { readonly page: 'write'; readonly id: string; readonly query: Query }
  | { readonly page: 'move'; readonly id: string; readonly query: Query }
  | { readonly page: 'vary'; readonly id: string; readonly query: Query }
  /** A long phrase cut into several. */
  | { readonly page: 'cut'; readonly id: string; readonly query: Query }
  /** Earlier versions of a phrase. */
  | { readonly page: 'versions'; readonly id: string; readonly query: Query }
  /** Earlier versions of something else. */
  | { readonly page: 'past'; readonly of: PastOf; readonly id: string; readonly query: Query }
  | { readonly page: 'compare'; readonly a: string; readonly b: string; readonly query: Query }
  | { readonly page: 'print'; readonly id: string; readonly query: Query }
  /** Phrases laid over a song form. */
  | { readonly page: 'solo'; readonly query: Query }
  /** All lessons. */
  | { readonly page: 'lessons'; readonly query: Query }
  | { readonly page: 'lesson'; readonly id: string; readonly query: Query }
  /** What is practised of a lesson, day by day. */
  | { readonly page: 'plan'; readonly id: string; readonly query: Query }
  /** All collections and saved questions. */
  | { readonly page: 'collections'; readonly query: Query }
  | { readonly page: 'collection'; readonly id: string; readonly query: Query }
  /** All tags, to be renamed and merged. */
  | { readonly page: 'tags'; readonly query: Query }
  /** What was removed and can be brought back. */
  | { readonly page: 'removed'; readonly query: Query }
  /** A phrase that the address carries (`io/link`). */
  | { readonly page: 'given'; readonly data: string; readonly query: Query }
  /** What is played, heard and made into phrases. */
  | { readonly page: 'catch'; readonly query: Query }
  /** The keys, and what they do. */
  | { readonly page: 'keys'; readonly query: Query }
  | { readonly page: 'unknown'; readonly address: string };

export type PageName = Route['page'];

/** What has earlier versions besides phrases. */
const PAST_OF = ['lesson', 'form', 'collection', 'plan'] as const;
export type PastOf = (typeof PAST_OF)[number];

/** The place a page is for: `RouteOf<'phrase'>` has the id of a phrase. */
export type RouteOf<P extends PageName> = Extract<Route, { readonly page: P }>;

/**
 * Reads the part of an address from `#` on. The empty one is the library. Never fails: what is no
 * place of ours is `unknown`, with the address for telling the reader.
 */
export function parseRoute(hash: string): Route {
  const address = hash.replace(/^#/u, '');
  const cut = address.indexOf('?');
  const path = cut < 0 ? address : address.slice(0, cut);
  const query: Query = Object.fromEntries(new URLSearchParams(cut < 0 ? '' : address.slice(cut)));
  const parts = path.replace(/^\//u, '').split('/').map(decode);
  const unknown: Route = { page: 'unknown', address };
  if (parts.some((p) => p === null)) return unknown;
  const [place = '', first, second, ...rest] = parts as string[];
  if (rest.length > 0) return unknown;
  if (first === undefined) {
    if (place === '') return { page: 'library', query };
    const page = ALONE.find((p) => p === place);
    return page === undefined ? unknown : { page, query };
  }
  if (first === '') return unknown;
  if (place === 'phrase' && second !== undefined) {
    const page = OF_PHRASE.find((p) => p === second);
    return page === undefined ? unknown : { page, id: first, query };
  }
  if (place === 'compare' && second !== undefined && second !== '') {
    return { page: 'compare', a: first, b: second, query };
  }
  const of = PAST_OF.find((p) => p === place);
  if (of !== undefined && second === 'versions') return { page: 'past', of, id: first, query };
  if (second !== undefined) return unknown;
  if (place === 'given') return { page: 'given', data: first, query };
  if (place === 'help' && first === 'keys') return { page: 'keys', query };
  const page = OF_ONE.find((p) => p === place);
  return page === undefined ? unknown : { page, id: first, query };
}

/** Places whose address is their name, those of one thing, and what is done with a phrase. */
const ALONE = ['solo', 'lessons', 'tags', 'removed', 'collections', 'catch'] as const;
const OF_ONE = ['phrase', 'print', 'lesson', 'plan', 'collection'] as const;
const OF_PHRASE = ['write', 'move', 'vary', 'cut', 'versions'] as const;

/** Null for a percent sign that begins no character. */
function decode(part: string): string | null {
  try {
    return decodeURIComponent(part);
  } catch {
    return null;
  }
}

/** The address of a place, from `#` on; `parseRoute` reads it back. Empty values are left out. */
export function addressOf(route: Route): string {
  if (route.page === 'unknown') return `#${route.address}`;
  return `#/${pathOf(route).map(encodeURIComponent).join('/')}${queryText(route.query)}`;
}

function pathOf(route: Exclude<Route, { readonly page: 'unknown' }>): readonly string[] {
  switch (route.page) {
    case 'library':
      return [''];
    case 'write':
    case 'move':
    case 'vary':
    case 'cut':
    case 'versions':
      return ['phrase', route.id, route.page];
    case 'past':
      return [route.of, route.id, 'versions'];
    case 'compare':
      return ['compare', route.a, route.b];
    case 'given':
      return ['given', route.data];
    case 'keys':
      return ['help', 'keys'];
    default:
      return 'id' in route ? [route.page, route.id] : [route.page];
  }
}

function queryText(query: Query): string {
  const set = Object.entries(query).filter(([, value]) => value !== '');
  return set.length === 0 ? '' : `?${new URLSearchParams(set)}`;
}

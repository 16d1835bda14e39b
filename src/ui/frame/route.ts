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
  | { readonly page: 'compare'; readonly a: string; readonly b: string; readonly query: Query }
  | { readonly page: 'print'; readonly id: string; readonly query: Query }
  /** Phrases laid over a song form. */
  | { readonly page: 'solo'; readonly query: Query }
  /** All lessons. */
  | { readonly page: 'lessons'; readonly query: Query }
  | { readonly page: 'lesson'; readonly id: string; readonly query: Query }
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
  const [place, first, second, ...rest] = parts as string[];
  if (rest.length > 0) return unknown;
  if (place === '' && first === undefined) return { page: 'library', query };
  if (place === 'solo' && first === undefined) return { page: 'solo', query };
  if (place === 'lessons' && first === undefined) return { page: 'lessons', query };
  if (place === 'tags' && first === undefined) return { page: 'tags', query };
  if (place === 'removed' && first === undefined) return { page: 'removed', query };
  if (place === 'collections' && first === undefined) return { page: 'collections', query };
  if (place === 'catch' && first === undefined) return { page: 'catch', query };
  if (first === undefined || first === '') return unknown;
  if (place === 'lesson' && second === undefined) return { page: 'lesson', id: first, query };
  if (place === 'given' && second === undefined) return { page: 'given', data: first, query };
  if (place === 'collection' && second === undefined) {
    return { page: 'collection', id: first, query };
  }
  if (place === 'phrase' && second === undefined) return { page: 'phrase', id: first, query };
  if (place === 'phrase' && second === 'write') return { page: 'write', id: first, query };
  if (place === 'phrase' && second === 'move') return { page: 'move', id: first, query };
  if (place === 'phrase' && second === 'vary') return { page: 'vary', id: first, query };
  if (place === 'phrase' && second === 'cut') return { page: 'cut', id: first, query };
  if (place === 'print' && second === undefined) return { page: 'print', id: first, query };
  if (place === 'help' && first === 'keys' && second === undefined) return { page: 'keys', query };
  if (place === 'compare' && second !== undefined && second !== '') {
    return { page: 'compare', a: first, b: second, query };
  }
  return unknown;
}

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
  const e = encodeURIComponent;
  switch (route.page) {
    case 'library':
      return `#/${queryText(route.query)}`;
    case 'phrase':
      return `#/phrase/${e(route.id)}${queryText(route.query)}`;
    case 'write':
      return `#/phrase/${e(route.id)}/write${queryText(route.query)}`;
    case 'move':
      return `#/phrase/${e(route.id)}/move${queryText(route.query)}`;
    case 'vary':
      return `#/phrase/${e(route.id)}/vary${queryText(route.query)}`;
    case 'cut':
      return `#/phrase/${e(route.id)}/cut${queryText(route.query)}`;
    case 'compare':
      return `#/compare/${e(route.a)}/${e(route.b)}${queryText(route.query)}`;
    case 'print':
      return `#/print/${e(route.id)}${queryText(route.query)}`;
    case 'solo':
      return `#/solo${queryText(route.query)}`;
    case 'lessons':
      return `#/lessons${queryText(route.query)}`;
    case 'lesson':
      return `#/lesson/${e(route.id)}${queryText(route.query)}`;
    case 'collections':
      return `#/collections${queryText(route.query)}`;
    case 'collection':
      return `#/collection/${e(route.id)}${queryText(route.query)}`;
    case 'tags':
    case 'removed':
      return `#/${route.page}${queryText(route.query)}`;
    case 'given':
      return `#/given/${e(route.data)}${queryText(route.query)}`;
    case 'catch':
      return `#/catch${queryText(route.query)}`;
    case 'keys':
      return `#/help/keys${queryText(route.query)}`;
    case 'unknown':
      return `#${route.address}`;
  }
}

function queryText(query: Query): string {
  const set = Object.entries(query).filter(([, value]) => value !== '');
  return set.length === 0 ? '' : `?${new URLSearchParams(set)}`;
}

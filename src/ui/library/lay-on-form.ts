import type { RouteOf } from '../frame/route';

/** More would not fit: eight choruses of twelve bars, a bar each. */
export const MOST_LAID = 96;

/** The page for solos, with these phrases to be laid there. */
export const laidOnForm = (ids: readonly string[]): RouteOf<'solo'> => ({
  page: 'solo',
  query: { lay: ids.join(' ') },
});

/**
 * The everyday tests try fewer cases, so that they are run every day; `npm run thorough` tries all.
 * Every kind of case occurs in both.
 */
export const THOROUGH = process.env.THOROUGH === '1';

/** How many cases to try: a few every day, all when thorough. */
export const runs = (everyday: number, thorough: number): number =>
  THOROUGH ? thorough : everyday;

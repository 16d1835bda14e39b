/** Whether the tests that take longest try all their cases (`npm run thorough`) instead of a part. */
export const THOROUGH = process.env.THOROUGH === '1';

/** How many cases to try, or to have seen at least: of a part, and of all. */
export const runs = (everyday: number, thorough: number): number =>
  THOROUGH ? thorough : everyday;

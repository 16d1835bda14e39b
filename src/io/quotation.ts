import type { Problem } from '../core/result';

/** Letters of a quotation that are shown. */
const SHOWN = 40;

/** A longer one is cut; words between apostrophes that merely stand far apart are left alone. */
const LONG = /'([^'\n]{56,})(?:'|$)/gu;

/** A message with its quotations cut: what a broken file holds may be as long as the file. */
export function cutQuotations(message: string): string {
  return message.replace(LONG, (_, text: string) => `'${[...text].slice(0, SHOWN).join('')}…'`);
}

/** The problem with the quotations in its message cut. */
export function withCutQuotations(p: Problem): Problem {
  const message = cutQuotations(p.message);
  return message === p.message ? p : { ...p, message };
}

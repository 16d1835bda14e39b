/** Sheets of paper that are printed on. */
export const PAPER_NAMES = { a4: 'A4', letter: 'Letter' } as const;

export type Paper = keyof typeof PAPER_NAMES;

/** The paper of the reader's country as far as the language tells. */
export const usualPaper = (): Paper =>
  /-(?:US|CA|MX|PH|CL|CO)$/u.test(navigator.language) ? 'letter' : 'a4';

/** The usual one where a text names none. */
export const readPaper = (text: string | null | undefined): Paper =>
  text === 'a4' || text === 'letter' ? text : usualPaper();

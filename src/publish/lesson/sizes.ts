/**
 * How large a lesson is set on paper: the distance of two lines of a staff in px of 1/96 inch. A staff is then
 * 7.4, 6.4 or 5.6 mm high (*common practice*, from memory: 7 mm and more for beginners, 5.5 to 6.5 mm in books).
 * Text and necks go with it (`page.css`, `lesson.css`).
 */
export const PAPER_SIZES = { large: 7, middle: 6.1, small: 5.3 } as const;

export type PaperSize = keyof typeof PAPER_SIZES;

/** The sheets it may be set for (ISO 216; ANSI Y14.1). */
export const SHEETS = ['a4', 'letter'] as const;

export type PaperSheet = (typeof SHEETS)[number];

export const isPaperSize = (text: unknown): text is PaperSize =>
  typeof text === 'string' && Object.hasOwn(PAPER_SIZES, text);

/**
 * Foreign text as one line without control characters, which is all a phrase may hold. Text laid
 * out over lines is brought to one with single spaces; text on one line stays as it is. Control
 * characters (XML 1.0 allows U+007F to U+009F) go.
 * @param most Characters kept.
 */
export function plainText(text: string, most = 500): string {
  const line = /[\n\t\r\u2028\u2029]/u.test(text) ? text.replace(/\s+/gu, ' ').trim() : text;
  const clean = line.replace(/\p{Cc}/gu, '').slice(0, most);
  return clean.trim() === '' ? '' : clean.replace(/[\ud800-\udbff]$/u, '');
}

/** Foreign text inside a sentence, cut to a readable length. */
export function clip(text: string | null): string {
  const t = text ?? '';
  return t.length > 40 ? `${t.slice(0, 40)}…` : t;
}

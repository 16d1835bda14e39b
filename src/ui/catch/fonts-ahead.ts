let coming: Promise<unknown> | null = null;

/**
 * Fetches the fonts of the theme, which else come with the first score: all that stands on the page by then would be laid out
 * anew. Resolves when they are there, or will not come.
 */
export function fontsAhead(): Promise<unknown> {
  if (coming === null) {
    const all: Promise<unknown>[] = [];
    document.fonts.forEach((f) => {
      all.push(f.load());
    });
    coming = Promise.allSettled(all);
  }
  return coming;
}

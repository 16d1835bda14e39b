/** Milliseconds after which music is drawn without them, and laid out anew when they come. */
const WAITS = 3000;

let coming: Promise<unknown> | null = null;

/**
 * Fetches the fonts of the theme, which else come with the first score: all that stands on the page by then would be laid out
 * anew. Resolves when they are there, will not come, or take long.
 */
export function fontsAhead(): Promise<unknown> {
  if (coming === null) {
    const all: Promise<unknown>[] = [];
    document.fonts.forEach((f) => {
      all.push(f.load());
    });
    const late = new Promise((done) => setTimeout(done, WAITS));
    coming = Promise.race([Promise.allSettled(all), late]);
  }
  return coming;
}

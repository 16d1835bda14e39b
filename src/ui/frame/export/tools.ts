import music from '../../../engrave/font/degreewise-music.woff2?url';
import text from '../../../engrave/font/degreewise-text.woff2?url';
import textBold from '../../../engrave/font/degreewise-text-bold.woff2?url';
import type { FontFile, Tools } from '../../../publish/format';
import { paint } from './paint';

const URLS: Readonly<Record<FontFile, string>> = {
  'degreewise-music.woff2': music,
  'degreewise-text.woff2': text,
  'degreewise-text-bold.woff2': textBold,
};

const kept = new Map<FontFile, Promise<string>>();

/** What a browser gives the writers. */
export const BROWSER_TOOLS: Tools = { font, paint };

/** A font is fetched once; a failed attempt is tried again. */
function font(file: FontFile): Promise<string> {
  const there = kept.get(file);
  if (there !== undefined) return there;
  const fetched = fetchFont(file).catch((reason: unknown) => {
    kept.delete(file);
    throw reason;
  });
  kept.set(file, fetched);
  return fetched;
}

async function fetchFont(file: FontFile): Promise<string> {
  const response = await fetch(URLS[file]);
  if (!response.ok) throw new Error(`a font of the program is missing (${response.status})`);
  const bytes = new Uint8Array(await response.arrayBuffer());
  return btoa(Array.from(bytes, (b) => String.fromCharCode(b)).join(''));
}

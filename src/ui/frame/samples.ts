import type { Phrase } from '../../core/phrase/types';
import { formatProblem } from '../../core/result';
import { decodePhrase } from '../../io/json';

/** Addresses of the files of `samples/`, by their paths: data beside the app, not part of its script. */
const FILES: Readonly<Record<string, string>> = import.meta.glob('../../../samples/*.json', {
  eager: true,
  query: '?url',
  import: 'default',
});

/** Milliseconds of reading between two chances for the page to answer. */
const SLICE = 12;

/**
 * The phrases that come with the app, read like any other.
 * @throws when one cannot be fetched, or is broken.
 */
export async function readSamples(): Promise<readonly Phrase[]> {
  const texts = await Promise.all(Object.values(FILES).map(fetchText));
  const phrases: Phrase[] = [];
  let start = performance.now();
  for (const [i, text] of texts.entries()) {
    const read = decodePhrase(text);
    if (!read.ok) {
      throw new Error(`sample ${i + 1}: ${read.problems.map(formatProblem).join(' ')}`);
    }
    phrases.push(read.value);
    if (performance.now() - start > SLICE) {
      await new Promise((resolve) => setTimeout(resolve));
      start = performance.now();
    }
  }
  return phrases;
}

async function fetchText(url: string): Promise<string> {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`a sample is missing (${response.status})`);
  return response.text();
}

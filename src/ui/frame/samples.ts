import { texts } from 'virtual:samples';
import type { Phrase } from '../../core/phrase/types';
import { formatProblem } from '../../core/result';
import { decodePhrase } from '../../io/json';

/** Milliseconds of reading between two chances for the page to answer. */
const SLICE = 12;

/** The phrases that come with the app, in the order of their files, read like any other. */
export async function readSamples(): Promise<readonly Phrase[]> {
  const phrases: Phrase[] = [];
  let start = performance.now();
  for (const [i, text] of texts.entries()) {
    const read = decodePhrase(text);
    // Tests read them all: only a broken build could bring this about.
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

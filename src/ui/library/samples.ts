import type { Phrase } from '../../core/phrase/types';
import { formatProblem } from '../../core/result';
import { decodePhrase } from '../../io/json';

const FILES: Readonly<Record<string, unknown>> = import.meta.glob('../../../samples/*.json', {
  eager: true,
  import: 'default',
});

/** Milliseconds of reading between two chances for the page to answer. */
const SLICE = 12;

/**
 * The phrases that come with the app, read like any other.
 * @throws when one of them is broken (programmer's error).
 */
export async function readSamples(): Promise<readonly Phrase[]> {
  const phrases: Phrase[] = [];
  let start = performance.now();
  for (const [file, value] of Object.entries(FILES)) {
    const read = decodePhrase(value);
    if (!read.ok) throw new Error(`${file}: ${read.problems.map(formatProblem).join(' ')}`);
    phrases.push(read.value);
    if (performance.now() - start > SLICE) {
      await new Promise((resolve) => setTimeout(resolve));
      start = performance.now();
    }
  }
  return phrases;
}

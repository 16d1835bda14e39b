import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Phrase } from '../../src/core/phrase/types';
import { formatProblem } from '../../src/core/result';
import { decodePhrase } from '../../src/io/json';

const SAMPLES = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '../../samples');

/** One file of `samples/`. */
export interface Sample {
  /** File name without its ending: `01-first-ferry-out`. */
  readonly name: string;
  readonly path: string;
  readonly text: string;
  readonly phrase: Phrase;
}

/**
 * Every sample phrase, in the order of their numbers.
 * @throws when one cannot be read, with its problems.
 */
export function readSamples(): readonly Sample[] {
  return readdirSync(SAMPLES)
    .filter((f) => f.endsWith('.json'))
    .sort()
    .map((file): Sample => {
      const full = path.join(SAMPLES, file);
      const text = readFileSync(full, 'utf8');
      const read = decodePhrase(text);
      if (!read.ok) throw new Error(`${file}: ${read.problems.map(formatProblem).join('; ')}`);
      return { name: file.slice(0, -'.json'.length), path: full, text, phrase: read.value };
    });
}

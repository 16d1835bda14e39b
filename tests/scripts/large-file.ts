/**
 * Writes a library file of so many phrases, each a sample under a number: `npx tsx tests/scripts/large-file.ts 42000 FILE`.
 */
import { once } from 'node:events';
import { createWriteStream } from 'node:fs';
import { finished } from 'node:stream/promises';
import { libraryPieces } from '../../src/io/library/write';
import { readSamples } from '../support/samples';

const size = Number(process.argv[2]);
const file = process.argv[3] ?? '';
const samples = readSamples().map((s) => s.phrase);

function* phrases() {
  for (let i = 0; i < size; i++) {
    const p = samples[i % samples.length]!;
    yield { ...p, id: `large-${i}`, meta: { ...p.meta, title: `${p.meta.title} ${i}` } };
  }
}

const out = createWriteStream(file);
for (const piece of libraryPieces(phrases())) {
  if (!out.write(piece)) await once(out, 'drain');
}
out.end();
await finished(out);

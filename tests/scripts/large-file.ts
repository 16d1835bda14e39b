/**
 * Writes a library file of so many phrases, each a sample under a number: `npx tsx tests/scripts/large-file.ts 42000 FILE [50]`.
 * With a number behind it one in so many is slower and was changed a day later, as in another's copy of the same library.
 */
import { once } from 'node:events';
import { createWriteStream } from 'node:fs';
import { finished } from 'node:stream/promises';
import { libraryPieces } from '../../src/io/library/write';
import { readSamples } from '../support/samples';

const size = Number(process.argv[2]);
const file = process.argv[3] ?? '';
const changed = Number(process.argv[4] ?? 0);
const samples = readSamples().map((s) => s.phrase);

function* phrases() {
  for (let i = 0; i < size; i++) {
    const p = samples[i % samples.length]!;
    const meta = { ...p.meta, title: `${p.meta.title} ${i}` };
    if (changed === 0 || i % changed !== 0) yield { ...p, id: `large-${i}`, meta };
    else {
      const later = new Date(Date.parse(meta.modified) + 86_400_000).toISOString();
      const tempo = { ...p.tempo, bpm: p.tempo.bpm - 1 };
      yield { ...p, id: `large-${i}`, tempo, meta: { ...meta, modified: later } };
    }
  }
}

const out = createWriteStream(file);
for (const piece of libraryPieces(phrases())) {
  if (!out.write(piece)) await once(out, 'drain');
}
out.end();
await finished(out);

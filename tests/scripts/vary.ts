/**
 * Every variation over every sample and over generated phrases: valid, playable, in its frame and as
 * promised. `npx tsx tests/scripts/vary.ts [count] [first seed] [names,…]`; exit code 1 at a fault.
 */
import type { Phrase } from '../../src/core/phrase/types';
import { VARIATION_IDS } from '../../src/core/vary/table';
import { seededPhrase } from '../support/arbitrary';
import { readSamples } from '../support/samples';
import { sweepVariations } from '../support/vary-sweep';

const count = Number(process.argv[2] ?? 2_000);
const first = Number(process.argv[3] ?? 0);
const names = process.argv[4]?.split(',');
const ids = VARIATION_IDS.filter((id) => names === undefined || names.includes(id));

function* phrases(): Generator<readonly [string, Phrase]> {
  for (const s of readSamples()) yield [s.name, s.phrase];
  for (let seed = first; seed < first + count; seed++) yield [`seed ${seed}`, seededPhrase(seed)];
}

const began = performance.now();
const { counts, faults } = sweepVariations(phrases(), 0, ids);
console.log(`${count} phrases and the samples in ${Math.round(performance.now() - began)} ms`);
for (const [id, c] of counts) {
  const none = [...c.none].map(([why, n]) => `${n} ${why}`).join('; ');
  console.log(`${id}: ${c.varied} of ${c.phrases} varied, ${c.results} results. None: ${none}`);
}
console.log(`${faults.length} faults`);
for (const f of faults.slice(0, 60)) console.log(`  ${f}`);
if (faults.length > 0) process.exitCode = 1;

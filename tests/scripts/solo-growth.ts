/**
 * What a chorus over twelve bars costs with 1,000, 10,000 and 100,000 phrases in the library, in processor
 * time, beside a hundred moves of samples in the same run. The phrases are samples under other ids.
 * `npx tsx tests/scripts/solo-growth.ts`
 */
import { layForm } from '../../src/core/form/lay';
import { standardForm } from '../../src/core/form/standard';
import { movePhrase } from '../../src/core/move/move';
import type { Phrase } from '../../src/core/phrase/types';
import { Placer } from '../../src/core/solo/placer';
import { proposeSolos } from '../../src/core/solo/propose';
import { parseKey } from '../../src/core/theory/key';
import { readSamples } from '../support/samples';

const samples = readSamples().map((s) => s.phrase);
const laid = layForm(standardForm('blues')!, parseKey('A')!.tonic);
if (!laid.ok) throw new Error('blues');
const form = laid.value;
const DAY = '2026-01-01T00:00:00.000Z';
const frame = (n: number) => ({
  id: `solo-${n}`,
  tempo: form.form.tempo,
  meta: { title: 'Solo', tags: [], created: DAY, modified: DAY },
});

/** Least processor time of three runs, in ms. */
function cost(run: () => void): number {
  const times = [1, 2, 3].map(() => {
    const before = process.cpuUsage();
    run();
    return process.cpuUsage(before).user / 1_000;
  });
  return Math.min(...times);
}

const key = parseKey('Eb')!;
const moves = cost(() => {
  for (let i = 0; i < 100; i++)
    movePhrase(samples[i % samples.length]!, { to: { kind: 'key', key } });
});
console.log(`100 moves: ${Math.round(moves)} ms`);
for (const size of [1_000, 10_000, 100_000]) {
  const make = () =>
    Array.from(
      { length: size },
      (_, i): Phrase => ({ ...samples[i % samples.length]!, id: `p${i}` }),
    );
  let phrases = make();
  const propose = (placer?: Placer) => {
    const made = proposeSolos({ form, phrases, options: {} }, frame, placer);
    if (!made.ok) throw new Error(made.problems[0]?.message);
  };
  const first = cost(() => {
    // Nothing is known of these yet.
    phrases = make();
    propose();
  });
  const next = cost(() => propose());
  const placer = new Placer(form, phrases);
  propose(placer);
  const again = cost(() => propose(placer));
  const of = (ms: number) => `${Math.round(ms)} ms (${(ms / moves).toFixed(2)})`;
  console.log(
    `${size} phrases: first ${of(first)}, next ${of(next)}, same form again ${of(again)}`,
  );
}

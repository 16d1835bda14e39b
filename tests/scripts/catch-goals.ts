import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import type { Phrase } from '../../src/core/phrase/types';
import { decodePhrase } from '../../src/io/json';
import { Listener } from '../../src/sound/capture/listen';
import { captureWeights } from '../support/capture-model';
import { CONDITIONS, SEEDS, wildPhrase } from '../support/catch-goals';
import { GoalCount, hearAgain } from '../support/goal-count';
import { playedPhrase } from '../support/played-phrase';

/**
 * `npx tsx tests/scripts/catch-goals.ts samples|develop|report|wild [FROM] [COUNT]`: phrases played by our own player in
 * three tones, two rooms and three noises, heard and written again; what came back, and what it should be.
 * Run it in parts (`report 0 250`, `report 250 250`), which are printed as sums that can be added.
 */
const [what = 'develop', from = '0', count = '60'] = process.argv.slice(2);
const listener = new Listener(captureWeights());
const all = new GoalCount();

function samples(): readonly Phrase[] {
  const folder = path.resolve(import.meta.dirname, '../../samples');
  return readdirSync(folder).map((f) => {
    const read = decodePhrase(JSON.parse(readFileSync(path.join(folder, f), 'utf8')));
    if (!read.ok) throw new Error(f);
    return read.value;
  });
}

if (what === 'samples') {
  // Every sample in every tone; rooms and noises in turn.
  samples().forEach((p, i) => {
    for (let tone = 0; tone < 3; tone++) {
      const c = CONDITIONS[6 * tone + ((i + 2 * tone) % 6)]!;
      all.add(hearAgain(p, c, i, listener));
    }
  });
} else {
  const first = what === 'develop' ? SEEDS.develop : SEEDS.report;
  const make = what === 'wild' ? wildPhrase : playedPhrase;
  for (let i = Number(from); i < Number(from) + Number(count); i++) {
    all.add(hearAgain(make(first + i), CONDITIONS[i % CONDITIONS.length]!, i, listener));
  }
}
for (const line of all.lines()) console.log(line);

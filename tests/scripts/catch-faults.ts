import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { lowestOpen } from '../../src/core/phrase/instrument';
import type { Phrase } from '../../src/core/phrase/types';
import { decodePhrase } from '../../src/io/json';
import { Listener } from '../../src/sound/capture/listen';
import { bentBeside } from '../support/bent-beside';
import { captureWeights } from '../support/capture-model';
import { CONDITIONS, SEEDS } from '../support/catch-goals';
import { HEARD_RATE, heardBack } from '../support/caught';
import { Dice } from '../support/generate/dice';
import { soundUnder } from '../support/goal-count';
import { FAULTS, faultsOf } from '../support/heard-faults';
import { playedPhrase } from '../support/played-phrase';
import { ringingPhrase } from '../support/ringing-phrase';

/**
 * `npx tsx tests/scripts/catch-faults.ts samples|develop|beside|ringing [FROM] [COUNT] [each]`: what is heard wrong of phrases
 * that our own player plays, by kind (`tests/support/heard-faults.ts`); with `each` every fault in a line of its own.
 */
const [what = 'develop', from = '0', count = '40', each] = process.argv.slice(2);
const listener = new Listener(captureWeights());
const sums = new Map<string, number>();
let [there, right] = [0, 0];

function one(name: string, p: Phrase, condition: number, seed: number): void {
  const c = CONDITIONS[condition % CONDITIONS.length]!;
  const sound = soundUnder(p, c, seed);
  const heard = listener.hear(sound, HEARD_RATE, undefined, lowestOpen(p.instrument));
  const back = heardBack(p, heard);
  there += back.reference.filter((r) => r.note !== undefined).length;
  right += back.pairs.filter(([r]) => back.reference[r]!.note !== undefined).length;
  for (const f of faultsOf(back, heard.notes)) {
    sums.set(f.kind, (sums.get(f.kind) ?? 0) + 1);
    if (each === undefined) continue;
    const sure =
      f.heard === undefined
        ? ''
        : ` sure ${f.heard.confidence.toFixed(2)}, ${(f.heard.end - f.heard.onset).toFixed(2)} s, ${f.heard.attack}`;
    const on =
      f.played === undefined
        ? ''
        : ` string ${f.played.sound.string} fret ${f.played.sound.fret} ${f.played.sound.begin}`;
    console.log(
      `${name} ${c.tone} ${c.room} ${c.noise}: ${f.at.toFixed(2)} s ${f.midi.toFixed(1)} ${f.kind}${sure}${on}`,
    );
  }
}

if (what === 'samples') {
  const folder = path.resolve(import.meta.dirname, '../../samples');
  readdirSync(folder).forEach((f, i) => {
    const read = decodePhrase(JSON.parse(readFileSync(path.join(folder, f), 'utf8')));
    if (!read.ok) throw new Error(f);
    for (let tone = 0; tone < 3; tone++) one(f, read.value, 6 * tone + ((i + 2 * tone) % 6), i);
  });
} else {
  for (let i = Number(from); i < Number(from) + Number(count); i++) {
    const seed = SEEDS.develop + i;
    const p =
      what === 'ringing'
        ? ringingPhrase(seed)
        : what === 'beside'
          ? bentBeside(playedPhrase(seed), 0.8, new Dice(seed, 17))
          : playedPhrase(seed);
    one(p.id + ('ringing' in p ? ` ${p.ringing}` : ''), p, i, i);
  }
}
console.log(`${right} of ${there} right`);
for (const kind of FAULTS) console.log(`${kind.padEnd(18)} ${sums.get(kind) ?? 0}`);

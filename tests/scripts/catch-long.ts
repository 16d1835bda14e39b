import { perform } from '../../src/core/sound/perform';
import { Live } from '../../src/sound/capture/live';
import { renderPhrase } from '../../src/sound/render';
import { Remembered } from '../../src/ui/catch/memory';
import { captureWeights } from '../support/capture-model';
import { playedPhrase } from '../support/played-phrase';
import { SINGLE_NOTES } from '../support/single-notes';

/**
 * `npx tsx tests/scripts/catch-long.ts [MINUTES]`: so many minutes of playing (30 where not said) go through what
 * listens in the page, block by block and faster than they last; what it takes of memory is said as it goes on. First single
 * notes, and how late each is told where nothing else is at work: when its block has come, and the processor time of hearing it.
 */
const minutes = Number(process.argv[2] ?? 30);
const RATE = 48_000;
const BLOCK = 2048;
sayLateness();
const memory = new Remembered(5 * 60 * RATE);
const live = new Live(captureWeights(), RATE);
const sound = renderPhrase(playedPhrase(700_003), { rate: RATE, tail: 0.5 });
let told = 0;
let at = 0;
const say = (seconds: number) => {
  globalThis.gc?.();
  const { rss, heapUsed, arrayBuffers } = process.memoryUsage();
  const mb = (n: number) => (n / 1e6).toFixed(0);
  console.log(
    `${(seconds / 60).toFixed(1)} min: ${told} notes told, ${mb(rss)} MB in all, heap ${mb(heapUsed)}, samples ${mb(arrayBuffers)}, ${(memory.length / RATE).toFixed(0)} s remembered`,
  );
};
const blocks = Math.ceil((minutes * 60 * RATE) / BLOCK);
const every = Math.max(1, Math.floor(blocks / 6));
for (let i = 0; i < blocks; i++) {
  const block = new Float32Array(BLOCK);
  for (let k = 0; k < BLOCK; k++) block[k] = sound[at++ % sound.length]!;
  memory.add(block);
  told += live.add(block).length;
  if ((i + 1) % every === 0) say(((i + 1) * BLOCK) / RATE);
}

/** From the beginning of each of some single notes until it is told. */
function sayLateness(): void {
  const hearing = new Live(captureWeights(), RATE);
  const notes = renderPhrase(SINGLE_NOTES, { rate: RATE, tail: 0 });
  const onsets = perform(SINGLE_NOTES).sounds.map((s) => s.onset);
  const waits: number[] = [];
  const ofSound: number[] = [];
  let spent = 0;
  const heard = new Set<number>();
  for (let end = BLOCK; end <= notes.length; end += BLOCK) {
    const began = process.cpuUsage();
    const fresh = hearing.add(notes.subarray(end - BLOCK, end));
    const { user, system } = process.cpuUsage(began);
    const took = (user + system) / 1e6;
    spent += took;
    if (fresh.length > 0) {
      const now = end / RATE;
      const nearest = onsets.filter((at) => at < now).at(-1) ?? 0;
      if (!heard.has(nearest)) {
        waits.push(now - nearest + took);
        ofSound.push(now - nearest);
      }
      heard.add(nearest);
    }
  }
  for (const list of [waits, ofSound]) list.sort((a, b) => a - b);
  const ms = (s: number | undefined) => Math.round(1000 * (s ?? Number.NaN));
  console.log(
    `${heard.size} of ${onsets.length} single notes told, after ${ms(waits[waits.length >> 1])} ms (median), ${ms(waits.at(-1))} at most (${ms(ofSound[ofSound.length >> 1])} and ${ms(ofSound.at(-1))} of it sound); hearing takes ${(100 * spent * (RATE / notes.length)).toFixed(0)}% of a processor`,
  );
}

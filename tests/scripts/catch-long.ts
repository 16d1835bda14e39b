import { Live } from '../../src/sound/capture/live';
import { renderPhrase } from '../../src/sound/render';
import { Remembered } from '../../src/ui/catch/memory';
import { captureWeights } from '../support/capture-model';
import { playedPhrase } from '../support/played-phrase';

/**
 * `npx tsx tests/scripts/catch-long.ts [MINUTES]`: so many minutes of playing (30 where not said) go through what
 * listens in the page, block by block and faster than they last; what it takes of memory is said as it goes on.
 */
const minutes = Number(process.argv[2] ?? 30);
const RATE = 48_000;
const BLOCK = 2048;
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

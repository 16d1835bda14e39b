/**
 * The engine in Chromium's audio worklet: its size, the share of one core that a full band with eight
 * sounding strings, drive, bass, drums and comping takes, and whether the samples are those that Node
 * computes: `npx tsx tests/scripts/engine-in-chromium.ts`.
 */
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { gzipSync } from 'node:zlib';
import { chromium } from 'playwright';
import { build as bundle } from 'vite';
import { accompany } from '../../src/core/backing/accompany';
import { PART_NAMES } from '../../src/core/sound/parts';
import { perform } from '../../src/core/sound/perform';
import { Engine } from '../../src/sound/engine';
import type { ToStrings } from '../../src/sound/worklet/messages';
import { WORKLET } from '../../src/sound/worklet/messages';
import { build } from '../support/build';

const RATE = 44_100;
const SECONDS = 20;

const built = await bundle({
  configFile: false,
  logLevel: 'error',
  build: {
    write: false,
    lib: { entry: 'src/sound/worklet/processor.ts', formats: ['es'], fileName: 'processor' },
  },
});
const [output] = Array.isArray(built) ? built : [built];
const code = output !== undefined && 'output' in output ? output.output[0].code : '';
console.log(`engine: ${gzipSync(code).length} bytes gzip`);

// An instrument of eight strings, all of them struck in every quarter.
const p = build('q 8/0+7/2+6/2+5/2+4/2+3/1+2/0+1/0 8/0+7/2+6/2+5/2+4/2+3/1+2/0+1/0 '.repeat(20), {
  tempo: { bpm: 120, unit: 'quarter' },
  chords: 'A7 | D7 | E7 | A7 | A7 | D7 | E7 | A7 | A7 | A7',
  instrument: {
    tuning: [64, 59, 55, 50, 45, 40, 35, 30].map((midi) => ({
      letter: (['C', 'C', 'D', 'D', 'E', 'F', 'F', 'G', 'G', 'A', 'A', 'B'] as const)[midi % 12]!,
      alter: ([0, 1, 0, 1, 0, 0, 1, 0, 1, 0, 1, 0] as const)[midi % 12]!,
      octave: Math.floor(midi / 12) - 1,
    })),
  },
});
const band = accompany(p, { feel: 'rock', seed: 1 });
const { instrument } = p;
const messages: ToStrings[] = [
  { kind: 'set up', part: 'phrase', instrument, tone: 'driven' },
  { kind: 'play', part: 'phrase', sounds: perform(p).sounds, origin: 0 },
  { kind: 'play', part: 'drums', sounds: band.drums, origin: 0 },
];
for (const part of ['bass', 'comping'] as const) {
  const own = band[part];
  if (own === null) throw new Error(`the band has no ${part}`);
  messages.push({ kind: 'set up', part, instrument: own.instrument, tone: own.tone });
  messages.push({ kind: 'play', part, sounds: own.sounds, origin: 0 });
}

const engine = new Engine(RATE);
for (const m of messages) {
  if (m.kind === 'set up') engine.setUp(m.part, m);
  else if (m.kind === 'play') engine.play(m, m.origin);
}
const ours = new Float32Array(SECONDS * RATE);
const before = process.cpuUsage();
engine.render(ours);
const used = process.cpuUsage(before);
const share = (ms: number) => `${(ms / (10 * SECONDS)).toFixed(1)}% of one core`;
console.log(`Node: ${share((used.user + used.system) / 1000)} (${PART_NAMES.join(', ')})`);

const server = createServer((request, answer) => {
  const script = request.url === '/processor.js';
  answer.setHeader('Content-Type', script ? 'text/javascript' : 'text/html');
  answer.end(script ? code : '<!doctype html><title>engine</title>');
}).listen(0);
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu'],
});
const page = await browser.newPage();
await page.goto(`http://localhost:${(server.address() as AddressInfo).port}/`);
// As text, since it runs in the page.
const heard = await page.evaluate<{ ms: number; samples: number[] }>(`(async () => {
  const context = new OfflineAudioContext(1, ${SECONDS * RATE}, ${RATE});
  await context.audioWorklet.addModule('/processor.js');
  const node = new AudioWorkletNode(context, '${WORKLET}', { outputChannelCount: [1] });
  node.connect(context.destination);
  for (const m of ${JSON.stringify(messages)}) node.port.postMessage(m);
  await new Promise((done) => setTimeout(done, 500));
  const began = performance.now();
  const buffer = await context.startRendering();
  const ms = performance.now() - began;
  return { ms, samples: Array.from(buffer.getChannelData(0)) };
})()`);
console.log(
  `Chromium: ${share(heard.ms)} by the clock, which other work on the machine only lengthens`,
);
let differ = 0;
let most = 0;
let peak = 0;
heard.samples.forEach((v, i) => {
  peak = Math.max(peak, Math.abs(v));
  if (v !== ours[i]) differ++;
  most = Math.max(most, Math.abs(v - ours[i]!));
});
console.log(
  `samples: ${heard.samples.length}, peak ${peak.toFixed(3)}; different from Node ${differ}, by at most ${most}`,
);
server.close();
server.closeAllConnections();
await browser.close();

import { appendFileSync } from 'node:fs';
import { Listener } from '../../src/sound/capture/listen';
import { captureWeights } from '../support/capture-model';
import { CONDITIONS } from '../support/catch-goals';
import { HEARD_RATE } from '../support/caught';
import { soundUnder } from '../support/goal-count';
import { phraseForSecond, unsureIn } from '../support/second-best';

/**
 * `npx tsx tests/scripts/catch-second.ts FILE FROM COUNT`: phrases whose notes are known are played, heard and written; each
 * note that was heard unsurely goes into FILE as a line of JSON, with what it may be instead and what it was. What is
 * made of such a file: `catch-second-judge.ts`.
 */
const [file, from = '0', count = '30'] = process.argv.slice(2);
if (file === undefined) throw new Error('say a file to write into');
const listener = new Listener(captureWeights());
for (let i = Number(from); i < Number(from) + Number(count); i++) {
  const p = phraseForSecond(i);
  const usual = CONDITIONS[i % CONDITIONS.length]!;
  // Three of four in more noise than is reported on elsewhere: unsure notes are few.
  const noisy = { ...usual, room: 'live' as const, noise: i % 4 === 1 ? -30 : -24 };
  const condition = i % 4 === 0 ? usual : noisy;
  const heard = listener.hear(soundUnder(p, condition, i), HEARD_RATE);
  for (const line of unsureIn(p, heard))
    appendFileSync(file, `${JSON.stringify({ i, ...line })}\n`);
}

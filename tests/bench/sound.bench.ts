import { bench, describe } from 'vitest';
import { fft } from '../../src/sound/dsp/fft';
import { renderPhrase } from '../../src/sound/render';
import { build } from '../support/build';

// Eight seconds of a single line: 6.25 of them a second are 50 times real time. The transforms beside it tell
// how fast the machine is now: a line costs about as much as 400 of them in processor time, a driven one 600.

const LINE = build(
  'e 6/0 6/3 5/0 5/2 4/0 4/2 3/0 3/2 | 2/0 2/3 1/0 1/3 1/5 1/3 1/0 2/3 | 2/0 3/2 3/0 4/2 4/0 5/2 5/0 6/3 | w 6/0',
  { tempo: { bpm: 120, unit: 'quarter' }, bars: 4 },
);

describe('8 s of sound', () => {
  for (const tone of ['steel', 'clean', 'driven'] as const) {
    bench(tone, () => {
      renderPhrase(LINE, { tone, tail: 0 });
    });
  }
  const re = new Float64Array(4096);
  const im = new Float64Array(4096);
  bench('200 transforms of 4,096', () => {
    for (let i = 0; i < 200; i++) {
      re.fill(0);
      im.fill(0);
      re[i] = 1;
      fft(re, im);
    }
  });
});

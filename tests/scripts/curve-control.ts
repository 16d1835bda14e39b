/**
 * Whether what a curve is missed by is the voice's or the measure's: the same curves as a pure sine, bare and
 * through the body, by the same tracker, beside our strings: `npx tsx tests/scripts/curve-control.ts [TONE]`.
 */
import { centsAt } from '../../src/core/sound/curve';
import { perform } from '../../src/core/sound/perform';
import { TONES } from '../../src/core/sound/tone';
import { BLOCK } from '../../src/sound/dsp/block';
import { Convolver } from '../../src/sound/dsp/convolver';
import { responseOf } from '../../src/sound/dsp/response';
import { renderPhrase } from '../../src/sound/render';
import { TONE } from '../../src/sound/strings/tones';
import { build } from '../support/build';
import { BUILT, casesAt, measure, quantile, RATE } from '../support/pitch-goals';

const tone = TONES.find((t) => t === (process.argv[2] ?? 'steel'));
if (tone === undefined) throw new Error(`a tone is one of ${TONES.join(', ')}`);
const { body: levels } = TONE[tone];

function sine(text: string, length: number): Float32Array {
  const { sounds } = perform(build(text, BUILT));
  const out = new Float32Array(length);
  let phase = 0;
  for (let i = 0; i < length; i++) {
    const at = i / RATE;
    const s = sounds.filter((x) => at >= x.onset).at(-1) ?? sounds[0]!;
    const midi = s.midi + centsAt(s, at - s.onset) / 100;
    phase += (2 * Math.PI * 440 * 2 ** ((midi - 69) / 12)) / RATE;
    out[i] = 0.3 * Math.sin(phase);
  }
  return out;
}

function throughBody(x: Float32Array): Float32Array {
  const body = new Convolver(responseOf(levels, RATE));
  const out = new Float32Array(x.length);
  for (let o = 0; o + BLOCK <= x.length; o += BLOCK) {
    const block = Float64Array.from(x.subarray(o, o + BLOCK));
    body.process(block, false);
    out.set(block, o);
  }
  return out;
}

const rows = new Map<string, { voice: number[]; bare: number[]; body: number[] }>();
for (const string of [6, 5, 4, 3, 2, 1]) {
  for (const fret of [2, 9, 17]) {
    for (const c of casesAt(string, fret).filter((x) => x.goal === 'moving')) {
      const p = build(c.text, BUILT);
      const voice = renderPhrase(p, { tone, tail: 0 });
      const bare = sine(c.text, voice.length);
      const row = rows.get(c.name) ?? { voice: [], bare: [], body: [] };
      rows.set(c.name, row);
      const add = (to: number[], x: Float32Array) =>
        to.push(quantile(measure(p, x, undefined).off, 0.5));
      add(row.voice, voice);
      add(row.bare, bare);
      add(row.body, throughBody(bare));
    }
  }
}

console.log(
  'cents from the written curve, the median of a place: of all places the middle and the worst',
);
const f = (v: readonly number[]) =>
  `${quantile(v, 0.5).toFixed(2).padStart(6)} ${Math.max(...v)
    .toFixed(2)
    .padStart(5)}`;
console.log(`${''.padEnd(24)} ${tone.padEnd(12)} sine         sine through the body`);
for (const [name, r] of rows) {
  console.log(`${name.padEnd(24)} ${f(r.voice)} ${f(r.bare)} ${f(r.body)}`);
}

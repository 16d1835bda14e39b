import { BLOCK } from '../../../src/sound/dsp/block';
import { Convolver } from '../../../src/sound/dsp/convolver';
import { responseOf, THIRDS } from '../../../src/sound/dsp/response';
import { distances, mean, RANGE } from './distance';
import { aligned, mixed, type Recording, type Stem } from './recording';
import { BAND_HERTZ, decibels, melCells, RATE } from './spectrum';

/** Decibels at the 23 third octaves. */
export type Levels = readonly number[];

/** The stems through an equaliser. */
export function equalised(stems: readonly Stem[], levels: Levels): readonly Stem[] {
  const response = responseOf(levels, RATE);
  return stems.map(({ samples, lead }) => ({ samples: convolved(samples, response), lead }));
}

function convolved(x: Float32Array, response: Float32Array): Float32Array {
  const convolver = new Convolver(response);
  const blocks = Math.ceil((x.length + response.length) / BLOCK);
  const out = new Float32Array(blocks * BLOCK);
  const block = new Float64Array(BLOCK);
  for (let b = 0; b < blocks; b++) {
    for (let i = 0; i < BLOCK; i++) block[i] = x[b * BLOCK + i] ?? 0;
    convolver.process(block, false);
    out.set(block, b * BLOCK);
  }
  return out;
}

/** One step of an equaliser towards the recording's mean spectrum within the notes. */
export function nearer(
  take: Recording,
  rendered: Float32Array,
  levels: Levels,
  step: number,
): Levels {
  const { cells, bands, hop, frames } = take.mel[2]!;
  const ours = melCells(rendered)[2]!.cells;
  const sum = new Float64Array(THIRDS);
  const weight = new Float64Array(THIRDS);
  for (const n of take.notes) {
    const from = Math.round((n.at * RATE) / hop);
    const to = Math.min(frames - 1, Math.round(((n.at + Math.min(n.length, 0.5)) * RATE) / hop));
    for (let k = from; k <= to; k++) {
      const row = cells.subarray(k * bands, (k + 1) * bands);
      const most = decibels(row.reduce((a, b) => Math.max(a, b), 0));
      for (let b = 0; b < bands; b++) {
        const theirs = row[b]!;
        if (decibels(theirs) < most - RANGE) continue;
        const own = ours[k * bands + b]! + take.melBackground[2]![b]!;
        const third = 3 * Math.log2(BAND_HERTZ[2]![b]! / 62.5);
        const w = theirs ** 0.25;
        for (
          let i = Math.max(0, Math.floor(third - 1));
          i <= Math.min(22, Math.ceil(third + 1));
          i++
        ) {
          const q = 1 - Math.abs(third - i) / 1.5;
          if (q <= 0) continue;
          sum[i] = sum[i]! + q * w * (decibels(theirs) - decibels(own));
          weight[i] = weight[i]! + q * w;
        }
      }
    }
  }
  const moved = levels.map((v, i) => (weight[i]! > 0 ? v + (step * sum[i]!) / weight[i]! : v));
  const middle = mean(moved);
  return moved.map((v) => Math.max(-30, Math.min(30, v - middle)));
}

export const FLAT: Levels = Array.from({ length: THIRDS }, () => 0);

/** The equaliser of 23 bands that brings the stems nearest to the recording, among a few steps. */
export function fitted(take: Recording, stems: readonly Stem[], rounds = 3): Levels {
  let levels = FLAT;
  let best = { levels, mel: Number.POSITIVE_INFINITY };
  for (let round = 0; round <= rounds; round++) {
    const through = equalised(stems, levels);
    const rendered = mixed(take, through, aligned(take, through));
    const mel = mean(distances(take, rendered).mel);
    if (mel < best.mel) best = { levels, mel };
    if (round < rounds) levels = nearer(take, rendered, levels, round === 0 ? 1 : 0.6);
  }
  return best.levels;
}

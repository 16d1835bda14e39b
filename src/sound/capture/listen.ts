import type { Heard } from '../../core/heard/types';
import { decode } from './decode';
import { Network } from './network';
import { FRAME, firstRow, HOP, LOWEST, RATE } from './network-shape';
import { resample } from './resample';
import { withoutSteady } from './steady';

/** Frames of silence on both sides: what begins with the recording has something before it. */
const AROUND = 20;

/** Hears recordings: the model is loaded once. */
export class Listener {
  private readonly network: Network;

  /**
   * @param weights The file `model/weights.bin`.
   * @param o `plain` does without WebAssembly.
   */
  constructor(weights: Uint8Array, o: { readonly plain?: boolean } = {}) {
    this.network = new Network(weights, o);
  }

  /**
   * The notes of a recording.
   * @param samples One channel, from -1 to 1.
   * @param rate Samples a second.
   * @param string The pitch of the lowest string, a MIDI number, where it is known: for one under the guitar's the same
   *   network listens that much lower (its weights are the same for every pitch), and no longer as high.
   */
  hear(
    samples: Float32Array,
    rate: number,
    progress?: (share: number) => void,
    string: number = LOWEST + 1,
  ): Heard {
    const x = resample(samples, rate, RATE);
    const padded = new Float32Array(x.length + 2 * AROUND * HOP);
    padded.set(x, AROUND * HOP);
    const heard = decode(this.network.run(padded, { progress, lowest: firstRow(string) }));
    return withoutSteady(shifted(heard, AROUND * FRAME, samples.length / rate), x);
  }
}

/** What was heard, with times that count from later on. */
export function shifted(heard: Heard, by: number, seconds: number): Heard {
  return {
    notes: heard.notes.map((n) => ({
      ...n,
      onset: Math.max(0, n.onset - by),
      end: Math.min(seconds, n.end - by),
      curve: n.curve.map((c) => ({ at: c.at - by, midi: c.midi })),
    })),
    dead: heard.dead.map((d) => ({ ...d, onset: Math.max(0, d.onset - by) })),
    seconds,
  };
}

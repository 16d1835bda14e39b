import type { Heard } from '../../core/heard/types';
import { decode } from './decode';
import { Network } from './network';
import { RATE } from './network-shape';
import { resample } from './resample';

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
   */
  hear(samples: Float32Array, rate: number, progress?: (share: number) => void): Heard {
    const x = resample(samples, rate, RATE);
    const heard = decode(this.network.run(x, progress === undefined ? {} : { progress }));
    return { ...heard, seconds: samples.length / rate };
  }
}

/** Nothing leaves louder than this, full scale being 1. */
export const CEILING = 0.89;
/** Samples the limiter looks ahead; the sound is late by so many. */
export const AHEAD = 64;
/** The gain comes back by this share of the way in a sample: about 100 ms. */
const RELEASE = 0.000_2;

/**
 * Keeps a stream of sound under the ceiling, for the sake of ears and loudspeakers: the gain is down
 * before the peak comes, and comes back slowly, so that nothing clicks.
 */
export class Limiter {
  private readonly past = new Float64Array(AHEAD);
  private at = 0;
  private gain = 1;
  /** The smallest gain wanted by what is looked ahead at, and for how many samples more. */
  private least = 1;
  private hold = 0;

  /** Fills `out` with the block, `AHEAD` samples late. */
  process(block: Float64Array, out: Float32Array): void {
    const { past } = this;
    let { at, gain, least, hold } = this;
    for (let i = 0; i < block.length; i++) {
      const x = block[i]!;
      const size = x < 0 ? -x : x;
      if (size > CEILING) {
        least = Math.min(least, CEILING / size);
        hold = AHEAD + 1;
      } else if (hold > 0) {
        hold--;
        if (hold === 0) least = 1;
      }
      // Down evenly within the time looked ahead, up slowly.
      if (least < gain) gain = Math.max(least, gain - (1 - least) / (AHEAD / 2));
      else if (gain < 1) gain += (least - gain) * RELEASE;
      out[i] = past[at]! * gain;
      past[at] = x;
      at = at + 1 === AHEAD ? 0 : at + 1;
    }
    this.at = at;
    this.gain = gain;
    this.least = least;
    this.hold = hold;
  }

  /** How far the loudness is held down now, as a factor up to 1. */
  get reduction(): number {
    return this.gain;
  }
}

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
  private readonly past = new Float32Array(AHEAD);
  private readonly wanted = new Float32Array(AHEAD).fill(1);
  private at = 0;
  private gain = 1;
  /** The smallest gain wanted by what is looked ahead at. */
  private least = 1;

  process(block: Float32Array, n: number): void {
    const { past, wanted } = this;
    for (let i = 0; i < n; i++) {
      const x = block[i]!;
      const size = Math.abs(x);
      block[i] = past[this.at]! * this.gain;
      past[this.at] = x;
      const gone = wanted[this.at]!;
      const now = size > CEILING ? CEILING / size : 1;
      wanted[this.at] = now;
      this.at = this.at + 1 === AHEAD ? 0 : this.at + 1;
      if (now < this.least) this.least = now;
      else if (gone === this.least && gone < 1) this.least = Math.min(...wanted);
      // Down evenly within the time looked ahead, up slowly.
      const { least } = this;
      if (least < this.gain) this.gain = Math.max(least, this.gain - (1 - least) / (AHEAD / 2));
      else this.gain += (least - this.gain) * RELEASE;
    }
  }
}

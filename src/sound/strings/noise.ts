import type { Sound } from '../../core/sound/types';
import type { Tone } from './tones';

/** Lengths in seconds and pitches in hertz of the noises around a string (fitted with the steel tone). */
const PICK = { seconds: 0.0034, hertz: 4221 };
const KNOCK = { seconds: 0.079, hertz: 105 };
/** Partials of the knock: pitch and size. */
const KNOCK_PARTIALS = [
  [1, 1],
  [1.9, 0.7],
  [3.5, 0.4],
] as const;
/** A scrape runs over so many windings a second, faster and higher at its beginning (ours). */
const SCRAPE = { from: 5200, to: 1800 };

/** What is heard besides the string: the pick, the knock on the body, a scrape. Seeded, so that it is the same each time. */
export class Noise {
  private pick = 0;
  private knock = 0;
  private knockAt = 0;
  private scrape: { left: number; all: number; size: number } | null = null;
  private fast = 0;
  private slow = 0;
  private band = 0;
  private bandSpeed = 0;

  constructor(
    private readonly rate: number,
    private state: number,
  ) {
    this.state = (Math.imul(state + 1, 2_654_435_761) >>> 0) | 1;
  }

  strike(sound: Sound, peak: number, tone: Tone): void {
    if (sound.manner === 'scrape') {
      const all = Math.round(sound.length * this.rate);
      this.scrape = { left: all, all, size: 0.25 * peak };
      return;
    }
    const loud = sound.manner === 'dead' ? 30 : 1;
    this.pick = tone.noise * peak * loud;
    this.knock = tone.knock * peak;
    this.knockAt = 0;
  }

  run(out: Float64Array, at: number, n: number): void {
    if (this.pick > 1e-6) this.runPick(out, at, n);
    if (this.knock > 0) this.runKnock(out, at, n);
    if (this.scrape !== null) this.runScrape(out, at, n, this.scrape);
  }

  private runPick(out: Float64Array, at: number, n: number): void {
    const k = 1 - Math.exp((-2 * Math.PI * PICK.hertz) / this.rate);
    const fade = Math.exp(-1 / (PICK.seconds * this.rate));
    for (let i = 0; i < n; i++) {
      this.fast += k * (this.next() - this.fast);
      this.slow += 0.15 * (this.fast - this.slow);
      out[at + i] = out[at + i]! + 3 * this.pick * (this.fast - this.slow);
      this.pick *= fade;
    }
  }

  private runKnock(out: Float64Array, at: number, n: number): void {
    const { rate } = this;
    const span = Math.round(5 * KNOCK.seconds * rate);
    for (const [times, size] of KNOCK_PARTIALS) {
      const omega = (2 * Math.PI * KNOCK.hertz * times) / rate;
      const fade = Math.sqrt(times) / (KNOCK.seconds * rate);
      for (let i = 0; i < n && this.knockAt + i < span; i++) {
        const t = this.knockAt + i;
        out[at + i] = out[at + i]! + this.knock * size * Math.sin(omega * t) * Math.exp(-t * fade);
      }
    }
    this.knockAt += n;
    if (this.knockAt >= span) this.knock = 0;
  }

  private runScrape(
    out: Float64Array,
    at: number,
    n: number,
    s: { left: number; all: number; size: number },
  ): void {
    for (let i = 0; i < n && s.left > 0; i++, s.left--) {
      const done = 1 - s.left / s.all;
      const hertz = SCRAPE.from * (SCRAPE.to / SCRAPE.from) ** done;
      // A band of noise that wanders with the pick (a state-variable filter).
      const f = 2 * Math.sin((Math.PI * hertz) / this.rate);
      this.band += f * this.bandSpeed;
      const high = this.next() - this.band - 0.15 * this.bandSpeed;
      this.bandSpeed += f * high;
      const fade = Math.min(1, s.left / (0.02 * this.rate), (s.all - s.left) / (0.005 * this.rate));
      out[at + i] = out[at + i]! + s.size * fade * this.bandSpeed;
    }
    if (s.left === 0) this.scrape = null;
  }

  /** A number from -1 to 1 (xorshift, Marsaglia 2003). */
  private next(): number {
    let r = this.state;
    r ^= r << 13;
    r >>>= 0;
    r ^= r >>> 17;
    r ^= r << 5;
    this.state = r >>> 0;
    return this.state / 0x8000_0000 - 1;
  }
}

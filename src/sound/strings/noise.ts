import type { Sound } from '../../core/sound/types';
import { Random } from '../dsp/random';
import { Ring } from '../dsp/ring';
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

/** What is heard besides the string: the pick, the knock on the body, a scrape. The same each time it is struck. */
export class Noise {
  private pick = 0;
  private readonly pickFade: number;
  private readonly pickSoft: number;
  private readonly knock: readonly Ring[];
  private scrape: { left: number; all: number; size: number } | null = null;
  private fast = 0;
  private slow = 0;
  private band = 0;
  private bandSpeed = 0;
  private readonly random: Random;

  constructor(
    private readonly rate: number,
    seed: number,
  ) {
    this.random = new Random(seed);
    this.pickFade = Math.exp(-1 / (PICK.seconds * rate));
    this.pickSoft = 1 - Math.exp((-2 * Math.PI * PICK.hertz) / rate);
    this.knock = KNOCK_PARTIALS.map(
      ([times]) => new Ring(KNOCK.hertz * times, KNOCK.seconds / Math.sqrt(times), rate),
    );
  }

  strike(sound: Sound, peak: number, tone: Tone): void {
    this.random.restart();
    if (sound.manner === 'scrape') {
      const all = Math.round(sound.length * this.rate);
      this.scrape = { left: all, all, size: 0.25 * peak };
      return;
    }
    const loud = sound.manner === 'dead' ? 30 : 1;
    this.pick = tone.noise * peak * loud;
    this.fast = 0;
    this.slow = 0;
    if (tone.knock === 0) return;
    KNOCK_PARTIALS.forEach(([, size], i) => {
      this.knock[i]!.strike(tone.knock * peak * size);
    });
  }

  /** @returns Whether anything was added. */
  run(out: Float64Array, at: number, n: number): boolean {
    let any = false;
    if (this.pick > 1e-6) any = this.runPick(out, at, n);
    for (const k of this.knock) if (k.run(out, at, n)) any = true;
    if (this.scrape !== null) any = this.runScrape(out, at, n, this.scrape);
    return any;
  }

  private runPick(out: Float64Array, at: number, n: number): true {
    const { random, pickFade, pickSoft } = this;
    let { pick, fast, slow } = this;
    for (let i = 0; i < n; i++) {
      fast += pickSoft * (random.next() - fast);
      slow += 0.15 * (fast - slow);
      out[at + i] = out[at + i]! + 3 * pick * (fast - slow);
      pick *= pickFade;
    }
    this.pick = pick;
    this.fast = fast;
    this.slow = slow;
    return true;
  }

  private runScrape(
    out: Float64Array,
    at: number,
    n: number,
    s: { left: number; all: number; size: number },
  ): true {
    for (let i = 0; i < n && s.left > 0; i++, s.left--) {
      const done = 1 - s.left / s.all;
      const hertz = SCRAPE.from * (SCRAPE.to / SCRAPE.from) ** done;
      // A band of noise that wanders with the pick (a state-variable filter).
      const f = 2 * Math.sin((Math.PI * hertz) / this.rate);
      this.band += f * this.bandSpeed;
      const high = this.random.next() - this.band - 0.15 * this.bandSpeed;
      this.bandSpeed += f * high;
      const fade = Math.min(1, s.left / (0.02 * this.rate), (s.all - s.left) / (0.005 * this.rate));
      out[at + i] = out[at + i]! + s.size * fade * this.bandSpeed;
    }
    if (s.left === 0) this.scrape = null;
    return true;
  }
}

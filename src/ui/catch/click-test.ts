import type { Result } from '../../core/result';
import { clickSound, type Delay, delayOf } from '../../sound/capture/delay';
import type { Ear } from './microphone';

const CLICKS = 8;
/** Seconds from click to click, before the first, and after the last. */
const EVERY = 0.5;
const BEFORE = 0.4;
const AFTER = 0.6;

/** Clicks that are played and listened for, from their beginning to their end. */
export class ClickTest {
  private readonly clicks: readonly number[];
  private readonly ends: readonly (() => void)[];
  private readonly blocks: { readonly samples: Float32Array; readonly until: number }[] = [];

  constructor(private readonly ear: Pick<Ear, 'now' | 'rate' | 'play'>) {
    const from = ear.now() + BEFORE;
    this.clicks = Array.from({ length: CLICKS }, (_, i) => from + i * EVERY);
    this.ends = this.clicks.map((at) => ear.play(clickSound(ear.rate), at, false));
  }

  /** @returns the delay when the last click is over; null before. */
  hear(block: Float32Array, until: number): Result<Delay> | null {
    this.blocks.push({ samples: block.slice(), until });
    return until < this.clicks.at(-1)! + AFTER ? null : this.found();
  }

  end(): void {
    for (const end of this.ends) end();
  }

  /** The blocks as one recording, with the clicks counted from its beginning. */
  private found(): Result<Delay> {
    const { rate } = this.ear;
    const first = this.blocks[0]!;
    const begin = first.until - first.samples.length / rate;
    const samples = new Float32Array(this.blocks.reduce((sum, b) => sum + b.samples.length, 0));
    let at = 0;
    for (const b of this.blocks) {
      samples.set(b.samples, at);
      at += b.samples.length;
    }
    return delayOf(
      samples,
      rate,
      this.clicks.map((t) => t - begin),
    );
  }
}

/** What is remembered of a block while clicks are listened for: silence as long, so that the clock goes on. */
export function remembered(block: Float32Array, testing: boolean): Float32Array {
  return testing ? new Float32Array(block.length) : block;
}

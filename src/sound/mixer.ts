import { BLOCK } from './dsp/block';
import type { Source } from './source';

/** A level is reached within about so many seconds. */
const GLIDE = 0.015;
/** Nearer than this a level is reached. */
const REACHED = 1e-5;

/** One part in the mix: what sounds, and how loud. */
export class Channel {
  source: Source | null = null;
  /** What was there before and still dies away. */
  private leaving: Source[] = [];
  private gain: number;
  private target: number;
  private readonly glide: number;
  private begun = false;

  /** @param level Decibels. */
  constructor(rate: number, level: number) {
    this.gain = factor(level);
    this.target = this.gain;
    this.glide = 1 - Math.exp(-BLOCK / (GLIDE * rate));
  }

  set level(decibels: number) {
    this.target = factor(decibels);
    // Nothing was heard yet that could jump.
    if (!this.begun) this.gain = this.target;
  }

  /** Another source from sample `at` on. */
  replace(source: Source, at: number): void {
    if (this.source !== null) {
      this.source.stop(at);
      this.leaving.push(this.source);
    }
    this.source = source;
  }

  /** Adds the part's block at sample `position` to the mix; `room` is for its own use. */
  addTo(mix: Float64Array, room: Float64Array, position: number): void {
    const from = this.gain;
    const way = this.target - from;
    const to = Math.abs(way) < REACHED ? this.target : from + way * this.glide;
    if (this.source?.run(room, position) === true) add(mix, room, from, to);
    if (this.leaving.length > 0) {
      this.leaving = this.leaving.filter((s) => {
        const sounds = s.run(room, position);
        if (sounds) add(mix, room, from, to);
        return sounds;
      });
    }
    this.gain = to;
    this.begun = true;
  }
}

function factor(decibels: number): number {
  return 10 ** (decibels / 20);
}

/** Adds with a gain that changes evenly. */
function add(mix: Float64Array, block: Float64Array, from: number, to: number): void {
  if (from === 0 && to === 0) return;
  const step = (to - from) / BLOCK;
  for (let i = 0; i < BLOCK; i++) mix[i] = mix[i]! + block[i]! * (from + step * (i + 1));
}

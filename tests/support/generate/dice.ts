/** The streams of choices of one phrase; events have numbers of their own after these. */
export const STREAM = {
  frame: 1,
  lane: 2,
  extra: 3,
  hand: 4,
  first: 5,
  second: 6,
  marks: 7,
  meters: 8,
  firstEvents: 1_000,
  secondEvents: 1_000_000,
};

/**
 * A small seeded source of choices. Every part of a generated phrase has its own stream, so that
 * leaving one part out does not change the others and a failing phrase can be made smaller.
 */
export class Dice {
  private state: number;

  constructor(seed: number, stream: number) {
    this.state = mix(mix(seed | 0) ^ Math.imul(stream + 1, 0x9e3779b1));
  }

  /** Uniform in [0, 1); the mulberry32 step. */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) | 0;
    let t = this.state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  }

  /** A whole number from `from` to `to`, both included. */
  int(from: number, to: number): number {
    return from + Math.floor(this.next() * (to - from + 1));
  }

  chance(p: number): boolean {
    return this.next() < p;
  }

  pick<T>(list: readonly T[]): T {
    return list[this.int(0, list.length - 1)]!;
  }

  /** An index of `weights`, each as likely as its weight. */
  weighted(weights: readonly number[]): number {
    let at = this.next() * weights.reduce((sum, w) => sum + w, 0);
    for (let i = 0; i < weights.length; i++) {
      at -= weights[i]!;
      if (at < 0) return i;
    }
    return weights.length - 1;
  }
}

function mix(n: number): number {
  let h = n | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}

/**
 * A small source of choices for variations: the same seed makes the same choices on every machine
 * (the mulberry32 step). Seed 0 stands for no choice at all: what is best by rule comes first.
 */
export class Dice {
  private state: number;

  constructor(readonly seed: number) {
    this.state = seed | 0;
  }

  /** Uniform in [0, 1). */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) | 0;
    let t = this.state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  }

  /** About half of a list, in its order, one at least. */
  some<T>(list: readonly T[]): readonly T[] {
    const taken = list.filter(() => this.next() < 0.5);
    return taken.length > 0 || list.length === 0 ? taken : [list[this.index(list.length)]!];
  }

  private index(length: number): number {
    return Math.floor(this.next() * length);
  }
}

import type { HeardNote } from '../../core/heard/types';
import { decode } from './decode';
import { featuresOf } from './front-end';
import { Network } from './network';
import { FRAME, firstRow, HOP, LOWEST, RATE } from './network-shape';
import { resample } from './resample';

/** Seconds that are heard at once, from which the newest are looked at and so late. */
const WINDOW = 0.75;
const EVERY = 0.128;
/** A note is told when it has sounded this long, in seconds: sooner its pitch is not sure. */
const LATE = 0.11;
/** Onsets of one pitch nearer than this are one note, in seconds. */
const SAME = 0.07;
/** The loud level is remembered and falls by so many decibels a second. */
const FALLS = 1.5;

/**
 * Notes while they are played. It hears only the last second again and again, with a running loud level, so
 * that a note comes within 0.3 s; what is kept in the end is heard once more as a whole.
 */
export class Live {
  private readonly network: Network;
  private readonly ring: Float32Array;
  private readonly fresh: number;
  private waiting = 0;
  /** Pitch of the lowest string, a MIDI number, as for `Listener.hear`. */
  lowest = LOWEST + 1;
  /** Seconds up to which onsets have been told, and those that have come in all. */
  private told = 0;
  private now = 0;
  private level = Number.NEGATIVE_INFINITY;
  /** The notes that were told last. */
  private recent: readonly { readonly onset: number; readonly pitch: number }[] = [];

  constructor(
    weights: Uint8Array,
    private readonly rate: number,
  ) {
    const frames = Math.ceil(WINDOW / FRAME);
    this.network = new Network(weights, { chunk: frames + 4 });
    this.ring = new Float32Array(Math.ceil(WINDOW * rate));
    this.fresh = Math.ceil(EVERY * rate);
  }

  get arithmetic(): 'simd' | 'plain' {
    return this.network.arithmetic;
  }

  /**
   * Takes samples and gives the notes that are new, most often none.
   * @param behind Whether there is no time to look for notes now.
   */
  add(block: Float32Array, behind = false): readonly HeardNote[] {
    const { ring } = this;
    const part = block.length > ring.length ? block.subarray(block.length - ring.length) : block;
    ring.copyWithin(0, part.length);
    ring.set(part, ring.length - part.length);
    this.now += block.length / this.rate;
    this.waiting += block.length;
    // Without fast arithmetic it would never keep up.
    if (behind || this.waiting < this.fresh || this.arithmetic === 'plain') return [];
    this.level -= (FALLS * this.waiting) / this.rate;
    this.waiting = 0;
    const x = resample(ring, this.rate, RATE);
    const own = featuresOf(x).level;
    this.level = Math.max(own, this.level);
    const lowest = firstRow(this.lowest);
    const heard = decode(this.network.run(x, { level: this.level, lowest }));
    const begin = this.now - (Math.floor(x.length / HOP) * HOP) / RATE;
    const until = this.now - LATE;
    // An onset is heard a little earlier or later the second time: what was told is known by its pitch.
    const known = (n: HeardNote) =>
      this.recent.some(
        (r) => Math.abs(r.onset - begin - n.onset) < SAME && Math.abs(r.pitch - n.start) < 0.7,
      );
    const fresh = heard.notes.filter(
      (n) => begin + n.onset > this.told - SAME / 2 && begin + n.onset <= until && !known(n),
    );
    this.recent = [
      ...this.recent.filter((r) => r.onset > until - 2 * SAME),
      ...fresh.map((n) => ({ onset: begin + n.onset, pitch: n.start })),
    ];
    if (until > this.told) this.told = until;
    return fresh;
  }
}

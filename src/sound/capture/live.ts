import type { HeardNote } from '../../core/heard/types';
import { decode } from './decode';
import { featuresOf } from './front-end';
import { Network } from './network';
import { FRAME, firstRow, HOP, LOWEST, RATE } from './network-shape';
import { resample } from './resample';

/** Seconds that are heard at once, from which the newest are looked at and so late. */
const WINDOW = 0.5;
const EVERY = 0.128;
/** A note is told when it has sounded this long, in seconds, and one of which the network is sure after this long. */
const LATE = 0.11;
const EARLY = 0.06;
const SURE = 0.745;
/** Onsets of one pitch nearer than this are one note, in seconds. */
const SAME = 0.07;
/** The loud level is remembered and falls by so many decibels a second. */
const FALLS = 1.5;

/** A note that is told. */
export interface ToldNote {
  /** Another note of the same number takes the place of this one: it was told early, and is heard otherwise now. */
  readonly id: number;
  readonly note: HeardNote;
}

/** What was told lately. */
interface ToldBefore {
  readonly id: number;
  readonly onset: number;
  readonly pitch: number;
}

/**
 * Notes while they are played. It hears only the last half second again and again, with a running loud level, so
 * that a note comes soon (figures in the README); what is kept in the end is heard once more as a whole.
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
  private recent: readonly ToldBefore[] = [];
  private count = 0;

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
   * Takes samples and gives the notes that are new, or heard otherwise than they were told: most often none.
   * @param behind Whether there is no time to look for notes now.
   */
  add(block: Float32Array, behind = false): readonly ToldNote[] {
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
    const seen = featuresOf(x, { atLeast: this.level, lowest: firstRow(this.lowest) });
    this.level = seen.level;
    const heard = decode(this.network.see(seen));
    const begin = this.now - (Math.floor(x.length / HOP) * HOP) / RATE;
    const until = this.now - LATE;
    const isDue = (n: HeardNote) =>
      begin + n.onset <= (n.confidence < SURE ? until : this.now - EARLY);
    // An onset is heard a little earlier or later the second time: what was told is known by its pitch.
    const isBeside = (r: ToldBefore, n: HeardNote) =>
      Math.abs(r.onset - begin - n.onset) < SAME && Math.abs(r.pitch - n.start) < 0.7;
    const due = heard.notes.filter(
      (n) =>
        begin + n.onset > this.told - SAME / 2 &&
        isDue(n) &&
        !this.recent.some((r) => isBeside(r, n)),
    );
    const anew = new Set<number>();
    const told = due.map((note): ToldNote & ToldBefore => {
      const onset = begin + note.onset;
      // What was told there early and is not heard any more was this one.
      const early = this.recent.find(
        (r) =>
          r.onset > this.told &&
          !anew.has(r.id) &&
          Math.abs(r.onset - onset) < SAME &&
          !heard.notes.some((n) => isBeside(r, n)),
      );
      const id = early?.id ?? ++this.count;
      anew.add(id);
      return { id, onset, pitch: note.start, note };
    });
    this.recent = [
      ...this.recent.filter((r) => r.onset > until - 2 * SAME && !anew.has(r.id)),
      ...told.map(({ id, onset, pitch }) => ({ id, onset, pitch })),
    ];
    if (until > this.told) this.told = until;
    return told.map(({ id, note }) => ({ id, note }));
  }
}

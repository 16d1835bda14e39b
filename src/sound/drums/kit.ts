import { DRUMS, type Drum, type DrumHit } from '../../core/sound/parts';
import { Band } from '../dsp/band';
import { BLOCK } from '../dsp/block';
import { Falling } from '../dsp/falling';
import { Queue } from '../dsp/queue';
import { Random } from '../dsp/random';
import { Ring } from '../dsp/ring';
import type { Source } from '../source';
import { PIECES, type Piece } from './pieces';

/** Seconds to a factor of e: two hats that are brought together, and a hand on the kit. */
const CLOSED = 0.012;
const HELD = 0.03;
/** Length of a brush's way where none is given. */
const SWEEP = 0.4;

interface TimedHit {
  readonly start: number;
  readonly hit: DrumHit;
}

/** A drum kit, computed: every piece goes on ringing and is struck again, as a real one is. */
export class Kit implements Source {
  private readonly pieces: Readonly<Record<Drum, Played>>;
  private readonly queue = new Queue<TimedHit>();
  private stopAt = Number.POSITIVE_INFINITY;

  constructor(private readonly rate: number) {
    const played = DRUMS.map((d, i) => [d, new Played(PIECES[d], rate, i + 20)] as const);
    this.pieces = Object.fromEntries(played) as Record<Drum, Played>;
  }

  /** Strokes to come, counted from sample `origin`; what is past by `now` is left out. */
  play(hits: readonly DrumHit[], origin: number, now: number): void {
    for (const hit of hits) {
      const start = origin + Math.round(hit.onset * this.rate);
      if (start >= now) this.queue.add({ start, hit });
    }
  }

  stop(at: number): void {
    this.queue.dropFrom(at);
    this.stopAt = at;
  }

  run(out: Float64Array, position: number): boolean {
    out.fill(0);
    let sounds = false;
    for (let done = 0; done < BLOCK; ) {
      const now = position + done;
      if (this.stopAt <= now) {
        for (const d of DRUMS) this.pieces[d].damp(HELD);
        this.stopAt = Number.POSITIVE_INFINITY;
      }
      for (let due = this.queue.due(now); due !== null; due = this.queue.due(now)) {
        this.strike(due.hit);
      }
      const count = Math.min(BLOCK - done, Math.min(this.queue.next, this.stopAt) - now);
      for (const d of DRUMS) if (this.pieces[d].run(out, done, count)) sounds = true;
      done += count;
    }
    return sounds;
  }

  private strike(hit: DrumHit): void {
    if (hit.drum === 'closed hat' || hit.drum === 'foot hat') this.pieces['open hat'].damp(CLOSED);
    this.pieces[hit.drum].strike(10 ** (hit.level / 20), hit.length ?? SWEEP);
  }
}

/** One piece as it sounds. */
class Played {
  private readonly rings: readonly Ring[];
  private readonly bands: readonly Band[];
  private readonly skin: Falling | null;
  private readonly random: Random;

  constructor(
    private readonly piece: Piece,
    rate: number,
    seed: number,
  ) {
    this.random = new Random(seed);
    this.rings = piece.rings.map(([hertz, seconds]) => new Ring(hertz, seconds, rate));
    this.bands = piece.bands.map((b) => new Band(b, rate, this.random));
    this.skin = piece.skin === undefined ? null : new Falling(piece.skin, rate);
  }

  strike(size: number, length: number): void {
    const { piece } = this;
    piece.rings.forEach(([, , own], i) => {
      this.rings[i]!.strike(own * size);
    });
    piece.bands.forEach((b, i) => {
      // What is struck harder is brighter.
      if (piece.drawn === true) this.bands[i]!.draw(b.size * size, length);
      else this.bands[i]!.strike(b.size * size ** 1.15);
    });
    this.skin?.strike(piece.skin!.size * size);
  }

  damp(seconds: number): void {
    for (const r of this.rings) r.damp(seconds);
    for (const b of this.bands) b.damp(seconds);
    this.skin?.damp(seconds);
  }

  run(out: Float64Array, at: number, n: number): boolean {
    let any = false;
    for (const r of this.rings) if (r.run(out, at, n)) any = true;
    for (const b of this.bands) if (b.run(out, at, n)) any = true;
    if (this.skin?.run(out, at, n) === true) any = true;
    return any;
  }
}

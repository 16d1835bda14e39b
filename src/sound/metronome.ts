import type { Click } from '../core/sound/parts';
import { BLOCK } from './dsp/block';
import { Queue } from './dsp/queue';
import { Ring } from './dsp/ring';
import type { Source } from './source';

/** Pitch in hertz and size of the three beats: told apart by ear, and above most of what is played (ours). */
const BEATS: Readonly<Record<Click['beat'], readonly [hertz: number, size: number]>> = {
  first: [1850, 0.4],
  beat: [1380, 0.3],
  part: [1040, 0.16],
};
/** A wooden bar: a second partial at 2.76 times the pitch (Fletcher & Rossing, free bars), each dying away at once. */
const PARTIALS = [
  [1, 0.014, 1],
  [2.756, 0.006, 0.5],
] as const;
/** Seconds to a factor of e when it is held. */
const HELD = 0.003;

interface TimedClick {
  readonly start: number;
  readonly click: Click;
}

/** The beats of a metronome or of a count-in. */
export class Metronome implements Source {
  private readonly rings: Readonly<Record<Click['beat'], readonly Ring[]>>;
  private readonly queue = new Queue<TimedClick>();
  private stopAt = Number.POSITIVE_INFINITY;

  constructor(private readonly rate: number) {
    const rings = (beat: Click['beat']) =>
      PARTIALS.map(([times, seconds]) => new Ring(BEATS[beat][0] * times, seconds, rate));
    this.rings = { first: rings('first'), beat: rings('beat'), part: rings('part') };
  }

  /** Beats to come, counted from sample `origin`; what is past by `now` is left out. */
  play(clicks: readonly Click[], origin: number, now: number): void {
    for (const click of clicks) {
      const start = origin + Math.round(click.onset * this.rate);
      if (start >= now) this.queue.add({ start, click });
    }
  }

  stop(at: number): void {
    this.queue.dropFrom(at);
    this.stopAt = at;
  }

  run(out: Float64Array, position: number): boolean {
    out.fill(0);
    let sounds = false;
    const rows = [this.rings.first, this.rings.beat, this.rings.part];
    for (let done = 0; done < BLOCK; ) {
      const now = position + done;
      if (this.stopAt <= now) {
        for (const row of rows) for (const r of row) r.damp(HELD);
        this.stopAt = Number.POSITIVE_INFINITY;
      }
      for (let due = this.queue.due(now); due !== null; due = this.queue.due(now)) {
        this.strike(due.click);
      }
      const count = Math.min(BLOCK - done, Math.min(this.queue.next, this.stopAt) - now);
      for (const row of rows) for (const r of row) if (r.run(out, done, count)) sounds = true;
      done += count;
    }
    return sounds;
  }

  private strike({ beat, level }: Click): void {
    const size = BEATS[beat][1] * 10 ** (level / 20);
    PARTIALS.forEach(([, , share], i) => {
      this.rings[beat][i]!.strike(size * share);
    });
  }
}

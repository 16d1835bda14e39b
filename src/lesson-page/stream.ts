import type { Phrase, Ticks } from '../core/phrase/types';
import { clicksBefore, clicksOver } from '../core/practice/beats';
import { countInOf, type Played, partWithin, playedOf } from '../core/practice/played';
import { PLAIN, type Stretch } from '../core/practice/types';
import type { StringPart } from '../core/sound/parts';
import { perform } from '../core/sound/perform';
import { toneOf } from '../core/sound/tone';
import type { Pass } from '../core/sound/types';
import { Engine } from '../sound/engine';

/** How something is played. */
export interface Way {
  /** Percent of the tempo. */
  readonly speed: number;
  readonly loops: boolean;
  readonly clicks: boolean;
  readonly countsIn: boolean;
  /** The bars that are played; all, with their repeats, where it is null. */
  readonly stretch: Stretch | null;
}

/** Samples that are computed at once: a fifth of a second. */
const PIECE = 8_192;
const EVERY = { beats: 'every', accent: true, parts: 1 } as const;

/** What accompanies a phrase, on its clock, where the phrase is played. */
function besides(along: Phrase, { tempo, feel }: Phrase, way: Way, played: Played): StringPart {
  const { sounds } = perform(
    { ...along, tempo, feel },
    { speed: way.speed / 100, repeats: way.stretch === null },
  );
  const part = { instrument: along.instrument, tone: toneOf(along), sounds };
  if (way.stretch === null) return part;
  const { from, ticks, secondsPerTick } = played;
  return partWithin(part, from * secondsPerTick, ticks * secondsPerTick);
}

/**
 * A phrase as a stream of samples, computed piece by piece: counted in where that is wished, then once,
 * or over and over.
 */
export class Stream {
  private readonly engine: Engine;
  private readonly round: {
    readonly samples: number;
    readonly perTick: number;
    readonly passes: readonly Pass[];
    readonly play: (origin: number) => void;
  };
  private readonly countIn: number;
  /** Sample at which the next round begins. */
  private next: number;
  private position = 0;

  constructor(
    phrase: Phrase,
    along: Phrase | null,
    private readonly way: Way,
    private readonly rate: number,
  ) {
    const engine = new Engine(rate);
    const { stretch } = way;
    const played = playedOf(phrase, { ...PLAIN, stretch, endless: way.loops }, way.speed);
    const { sounds, passes, ticks, secondsPerTick } = played;
    const clicks = way.clicks ? clicksOver(phrase, passes, ticks, EVERY, secondsPerTick) : [];
    engine.setUp('phrase', { instrument: phrase.instrument, tone: toneOf(phrase) });
    const comping = along === null ? null : besides(along, phrase, way, played).sounds;
    if (along !== null) {
      engine.setUp('comping', { instrument: along.instrument, tone: toneOf(along) });
    }
    this.engine = engine;
    this.round = {
      samples: Math.round(ticks * secondsPerTick * rate),
      perTick: secondsPerTick,
      passes,
      play: (origin) => {
        engine.play({ part: 'phrase', sounds }, origin);
        if (comping !== null) engine.play({ part: 'comping', sounds: comping }, origin);
        engine.play({ part: 'click', sounds: clicks }, origin);
      },
    };
    this.countIn = 0;
    if (way.countsIn) {
      const { meter, offset, length } = countInOf(phrase, { stretch, countIn: 1 });
      const before = clicksBefore(phrase, meter, offset, length, secondsPerTick);
      engine.play({ part: 'click', sounds: before }, 0);
      this.countIn = Math.round(length * secondsPerTick * rate);
    }
    this.next = this.countIn;
  }

  /** Samples until all is over; infinite where it goes on. What rings on is given two seconds. */
  get length(): number {
    return this.way.loops
      ? Number.POSITIVE_INFINITY
      : this.countIn + this.round.samples + 2 * this.rate;
  }

  /** The next piece; null where all is over. */
  piece(): Float32Array<ArrayBuffer> | null {
    if (this.position >= this.length) return null;
    while (this.next < this.position + PIECE) {
      this.round.play(this.next);
      this.next = this.way.loops ? this.next + this.round.samples : Number.POSITIVE_INFINITY;
    }
    const piece = new Float32Array(PIECE);
    this.engine.render(piece);
    this.position += PIECE;
    return piece;
  }

  /** The written tick that is heard with a sample of the stream; null before and after the music. */
  tickAt(sample: number): Ticks | null {
    const { samples, perTick, passes } = this.round;
    const since = sample - this.countIn - Engine.LATENCY;
    if (since < 0 || (!this.way.loops && since >= samples)) return null;
    const played = (since % samples) / this.rate / perTick;
    const pass = passes.filter((p) => p.at <= played + 0.5).at(-1);
    if (pass === undefined) return null;
    return Math.min(pass.end, pass.start + played - pass.at);
  }
}

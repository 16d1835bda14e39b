import type { Phrase, Ticks } from '../core/phrase/types';
import { Stream, type Way } from './stream';

/** So much is computed ahead, in seconds; more where the page is hidden and its clock is slow. */
const AHEAD = 1;
const AHEAD_HIDDEN = 4;
/** Milliseconds between looks at what is still to be computed. */
const FEED = 150;
/** Seconds from a press to the first sample. */
const LEAD = 0.06;

interface Running {
  readonly stream: Stream;
  readonly gain: GainNode;
  /** Time of the context at which the stream begins. */
  readonly start: number;
  /** Samples that were handed over. */
  done: number;
  complete: boolean;
}

/** Plays one thing at a time. */
export class Player {
  private context: AudioContext | null = null;
  private running: Running | null = null;
  private timer = 0;

  /** @param over Told when something has ended by itself. */
  constructor(private readonly over: () => void) {}

  /** @param along What accompanies it, over the same bars. */
  async play(phrase: Phrase, along: Phrase | null, way: Way): Promise<void> {
    this.stop();
    this.context ??= new AudioContext({ latencyHint: 'interactive' });
    const { context } = this;
    const stream = new Stream(phrase, along, way, context.sampleRate);
    await context.resume();
    const gain = context.createGain();
    gain.connect(context.destination);
    const start = context.currentTime + LEAD;
    this.running = { stream, gain, start, done: 0, complete: false };
    this.feed();
    this.timer = window.setInterval(() => this.feed(), FEED);
  }

  stop(): void {
    window.clearInterval(this.timer);
    const { running, context } = this;
    this.running = null;
    if (running === null || context === null) return;
    // Cut off at once it would crack.
    running.gain.gain.setTargetAtTime(0, context.currentTime, 0.01);
    window.setTimeout(() => running.gain.disconnect(), 200);
  }

  /** The written tick that is heard now; null where none is. */
  tick(): Ticks | null {
    const { running, context } = this;
    if (running === null || context === null) return null;
    const late = context.outputLatency || context.baseLatency || 0;
    const since = context.currentTime - late - running.start;
    return running.stream.tickAt(Math.round(since * context.sampleRate));
  }

  private feed(): void {
    const { running, context } = this;
    if (running === null || context === null) return;
    const { stream, gain, start } = running;
    const rate = context.sampleRate;
    const until = context.currentTime + (document.hidden ? AHEAD_HIDDEN : AHEAD);
    while (!running.complete && start + running.done / rate < until) {
      const samples = stream.piece();
      if (samples === null) {
        running.complete = true;
        break;
      }
      const buffer = context.createBuffer(1, samples.length, rate);
      buffer.copyToChannel(samples, 0);
      const source = context.createBufferSource();
      source.buffer = buffer;
      source.connect(gain);
      source.start(start + running.done / rate);
      running.done += samples.length;
    }
    if (running.complete && context.currentTime > start + stream.length / rate) {
      this.stop();
      this.over();
    }
  }
}

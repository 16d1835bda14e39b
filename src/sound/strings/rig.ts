import { openMidi } from '../../core/phrase/instrument';
import type { Instrument } from '../../core/phrase/types';
import type { ToneName } from '../../core/sound/tone';
import { AHEAD, Limiter } from '../dsp/limiter';
import { Convolver, responseOf } from '../dsp/response';
import { Drive } from './drive';
import { StringVoice, type TimedSound } from './string-voice';
import { TONE } from './tones';

/** Longest block that is computed at once. */
const BLOCK = 256;

/** All strings of an instrument with what they sound through: drive, body or cabinet, limiter. */
export class Rig {
  /** The stream comes so many samples late. */
  static readonly LATENCY = AHEAD;

  private readonly strings: readonly StringVoice[];
  private readonly drive: Drive | null;
  private readonly body: Convolver;
  private readonly limiter = new Limiter();
  private readonly gain: number;
  private readonly mix = new Float64Array(BLOCK);
  private readonly block = new Float32Array(BLOCK);
  /** Sounds to come, ascending by start. */
  private queue: TimedSound[] = [];
  private position = 0;

  /** @param rate Samples a second. */
  constructor(
    instrument: Instrument,
    tone: ToneName,
    private readonly rate: number,
  ) {
    const t = TONE[tone];
    this.strings = instrument.tuning.map(
      (_, i) => new StringVoice(t, openMidi(instrument, i + 1), rate, i + 1),
    );
    this.drive = t.drive > 0 ? new Drive(t.drive, rate) : null;
    this.body = new Convolver(responseOf(t.body, rate));
    this.gain = 0.55 * 10 ** (t.gain / 20);
  }

  /** Sounds that begin now or later; what would have begun before begins now. */
  schedule(sounds: readonly TimedSound[]): void {
    this.queue.push(...sounds);
    this.queue.sort((a, b) => a.start - b.start);
  }

  /** Nothing more begins, and every string is damped. */
  stop(): void {
    this.queue = [];
    for (const s of this.strings) s.damp();
  }

  /** Fills `out` with the next samples. */
  render(out: Float32Array): void {
    for (let at = 0; at < out.length; ) {
      const n = Math.min(BLOCK, out.length - at);
      this.renderBlock(n);
      out.set(this.block.subarray(0, n), at);
      at += n;
    }
  }

  private renderBlock(n: number): void {
    const { mix, block } = this;
    mix.fill(0, 0, n);
    for (let done = 0; done < n; ) {
      while (this.queue[0] !== undefined && this.queue[0].start <= this.position) {
        const timed = this.queue.shift()!;
        this.strings[timed.sound.string - 1]?.begin(timed);
      }
      const next = this.queue[0]?.start ?? Number.POSITIVE_INFINITY;
      const count = Math.min(n - done, next - this.position);
      for (const s of this.strings) s.run(mix, done, count, this.position);
      done += count;
      this.position += count;
    }
    for (let i = 0; i < n; i++) block[i] = mix[i]!;
    this.drive?.process(block, n);
    this.body.process(block, n);
    for (let i = 0; i < n; i++) block[i] = block[i]! * this.gain;
    this.limiter.process(block, n);
  }

  /** A sound at its place in the stream. */
  timed(sound: TimedSound['sound'], origin = 0): TimedSound {
    const start = origin + Math.round(sound.onset * this.rate);
    return { sound, start, end: start + Math.round(sound.length * this.rate) };
  }
}

import { type Mix, PART_NAMES, type Parts, type StringPart } from '../../core/sound/parts';
import type { Seconds } from '../../core/sound/types';
import { AHEAD as LIMITER_AHEAD } from '../dsp/limiter';
import { type StringPartName, type Strings, type ToStrings, WORKLET } from '../worklet/messages';
import url from '../worklet/processor?worker&url';
import type { Sink } from './sink';

/** Without anything to play for so long, the sound card may rest. Milliseconds. */
const RESTS_AFTER = 20_000;
/** Everything is sent to the strings so long before it sounds. */
const LEAD: Seconds = 0.04;
/** A note by itself is wanted at once: it is late anyway if the page was. */
const STRIKE_LEAD: Seconds = 0.005;

/** The audio context and the worklet in it: made once, with the first thing that is played. */
export class Output implements Sink {
  private opening: Promise<void> | null = null;
  private open: { readonly context: AudioContext; readonly node: AudioWorkletNode } | null = null;
  private readonly strung = new Map<StringPartName, Strings>();
  private mix: Mix | null = null;
  private resting: ReturnType<typeof setTimeout> | undefined;

  /**
   * Everything that the first sound waits for, ahead of it. Browsers let a page begin to sound with a press only,
   * so it is called with the first press anywhere; what fails is told by whoever wants to be heard.
   */
  prepare(): void {
    this.wake().then(
      () => this.rest(),
      () => {},
    );
  }

  /** Is awake when it resolves. @throws when the browser gives no sound, with words for a person. */
  async wake(): Promise<void> {
    clearTimeout(this.resting);
    this.opening ??= this.setUp();
    try {
      await this.opening;
      await this.open?.context.resume();
    } catch (reason) {
      this.opening = null;
      throw reason;
    }
  }

  /** Whether something can be heard without waiting. */
  isAwake(): boolean {
    return this.open?.context.state === 'running';
  }

  /** Lets the sound card rest if nothing is played for a while. */
  rest(): void {
    clearTimeout(this.resting);
    this.resting = setTimeout(() => void this.open?.context.suspend(), RESTS_AFTER);
  }

  play(parts: Parts, start: Seconds): void {
    const origin = Math.round(start * this.rate());
    const { phrase, backing, click } = parts;
    if (phrase !== null) this.playStrings('phrase', phrase, origin);
    this.send({ kind: 'play', part: 'click', sounds: click, origin });
    if (backing === null) return;
    if (backing.bass !== null) this.playStrings('bass', backing.bass, origin);
    if (backing.comping !== null) this.playStrings('comping', backing.comping, origin);
    this.send({ kind: 'play', part: 'drums', sounds: backing.drums, origin });
  }

  strike(part: StringPart, as: 'phrase' | 'comping'): void {
    this.playStrings(as, part, Math.round((this.now() + STRIKE_LEAD) * this.rate()));
    this.rest();
  }

  stop(): void {
    this.send({ kind: 'stop' });
  }

  level(mix: Mix): void {
    if (!this.isAwake()) return;
    for (const part of PART_NAMES) {
      if (this.mix?.[part] !== mix[part]) this.send({ kind: 'level', part, level: mix[part] });
    }
    this.mix = mix;
  }

  soonest(): Seconds {
    return this.now() + LEAD;
  }

  /** Strings of a part; those that are strung already go on sounding. */
  private string(part: StringPartName, { instrument, tone }: Strings): void {
    const now = this.strung.get(part);
    if (now?.tone === tone && sameStrings(now.instrument, instrument)) return;
    this.strung.set(part, { instrument, tone });
    this.send({ kind: 'set up', part, instrument, tone });
  }

  /** What a part of strings plays; it is strung first where it is not. */
  private playStrings(part: StringPartName, wished: StringPart, origin: number): void {
    this.string(part, wished);
    this.send({ kind: 'play', part, sounds: wished.sounds, origin });
  }

  private send(message: ToStrings): void {
    this.open?.node.port.postMessage(message);
  }

  /** Samples a second. */
  private rate(): number {
    return this.open?.context.sampleRate ?? 48_000;
  }

  /** The clock by which sounds are ordered. */
  now(): Seconds {
    return this.open?.context.currentTime ?? 0;
  }

  /** What leaves the loudspeaker now was ordered for this time. */
  heardNow(): Seconds {
    if (this.open === null) return 0;
    const { context } = this.open;
    const late =
      (context.outputLatency || context.baseLatency || 0) + LIMITER_AHEAD / context.sampleRate;
    return context.currentTime - late;
  }

  private async setUp(): Promise<void> {
    if (typeof AudioContext === 'undefined' || typeof AudioWorkletNode === 'undefined') {
      throw new Error('This browser has no way to compute sound.');
    }
    const context = new AudioContext({ latencyHint: 'interactive' });
    await context.audioWorklet.addModule(url);
    const node = new AudioWorkletNode(context, WORKLET, { outputChannelCount: [2] });
    node.connect(context.destination);
    this.open = { context, node };
  }
}

function sameStrings(a: Strings['instrument'], b: Strings['instrument']): boolean {
  return a === b || JSON.stringify(a) === JSON.stringify(b);
}

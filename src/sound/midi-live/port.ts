import { velocityOf } from '../../core/sound/loudness';
import { type Mix, USUAL_MIX } from '../../core/sound/parts';
import { silenceMidi, type TimedMessage } from './schedule';

/** What is needed of an output of Web MIDI (W3C Web MIDI API, `MIDIOutput`). */
export interface MidiOut {
  send(data: number[], timestamp?: number): void;
  /** Takes back what was sent ahead, where the browser can. */
  clear?(): void;
}

/** Messages are sent so far ahead, in seconds: what is sent cannot everywhere be taken back. */
export const AHEAD = 0.25;

interface Due {
  /** Milliseconds of the page's clock. */
  readonly time: number;
  readonly message: TimedMessage;
}

/** Sends schedules to an instrument piece by piece. Whoever plays calls `send` more often than every `AHEAD`. */
export class MidiSender {
  /** Ascending in time. */
  private queue: Due[] = [];
  /** Notes that were sent and may begin only later. */
  private ahead: { readonly channel: number; readonly key: number; readonly time: number }[] = [];

  constructor(private readonly out: MidiOut) {}

  /** @param begins Milliseconds of the page's clock at which the schedule begins. */
  add(messages: readonly TimedMessage[], begins: number): void {
    const due = messages.map((message) => ({ time: begins + 1000 * message.at, message }));
    this.queue = [...this.queue, ...due].sort((a, b) => a.time - b.time);
  }

  /**
   * @param mix Levels of the parts; the usual ones give the velocities of our files.
   * @returns whether anything is left.
   */
  send(now: number, mix: Mix = USUAL_MIX): boolean {
    this.ahead = this.ahead.filter((n) => n.time > now);
    const until = now + 1000 * AHEAD;
    const later = this.queue.findIndex((d) => d.time > until);
    const due = this.queue.splice(0, later < 0 ? this.queue.length : later);
    for (const { time: wished, message } of due) {
      const bytes = atLevel(message, mix);
      if (bytes === null) continue;
      const time = Math.max(now, wished);
      this.out.send(bytes, time);
      const [status = 0, key = 0] = bytes;
      if (message.loud !== undefined) this.ahead.push({ channel: status & 15, key, time });
    }
    return this.queue.length > 0;
  }

  /**
   * Ends all sound at once. A note that was sent ahead and that the browser cannot take back ends as it begins.
   * @returns milliseconds of the page's clock at which the last of those ends.
   */
  stop(now: number): number {
    const waiting = this.out.clear === undefined ? this.ahead.filter((n) => n.time > now) : [];
    this.queue = [];
    this.ahead = [];
    this.out.clear?.();
    for (const bytes of silenceMidi()) this.out.send([...bytes]);
    for (const { channel, key, time } of waiting) this.out.send([0x80 | channel, key, 64], time);
    return Math.max(now, ...waiting.map((n) => n.time));
  }
}

/** The bytes of a message under a mix; null for a note that is silent. */
function atLevel({ bytes, loud }: TimedMessage, mix: Mix): number[] | null {
  if (loud === undefined) return [...bytes];
  const more = mix[loud.part] - USUAL_MIX[loud.part];
  if (more === Number.NEGATIVE_INFINITY) return null;
  return [bytes[0]!, bytes[1]!, velocityOf(loud.level + more)];
}

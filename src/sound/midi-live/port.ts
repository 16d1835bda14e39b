import { silenceMidi, type TimedMessage } from './schedule';

/** What is needed of an output of Web MIDI (W3C Web MIDI API, `MIDIOutput`). */
export interface MidiOut {
  send(data: number[], timestamp?: number): void;
  /** Takes back what was sent ahead, where the browser can. */
  clear?(): void;
}

/** Messages are sent so far ahead, in seconds: what is sent cannot everywhere be taken back. */
export const AHEAD = 0.25;

/** Sends a schedule to an instrument piece by piece. Whoever plays calls `send` more often than every `AHEAD`. */
export class MidiSender {
  private next = 0;

  /** @param begins Milliseconds of the page's clock at which the schedule begins. */
  constructor(
    private readonly out: MidiOut,
    private readonly messages: readonly TimedMessage[],
    private readonly begins: number,
  ) {}

  /** @returns whether anything is left. */
  send(now: number): boolean {
    const until = (now - this.begins) / 1000 + AHEAD;
    while (this.next < this.messages.length && this.messages[this.next]!.at <= until) {
      const { at, bytes } = this.messages[this.next]!;
      this.out.send([...bytes], Math.max(now, this.begins + 1000 * at));
      this.next += 1;
    }
    return this.next < this.messages.length;
  }

  /** Ends all sound at once. */
  stop(): void {
    this.next = this.messages.length;
    this.out.clear?.();
    for (const bytes of silenceMidi()) this.out.send([...bytes]);
  }
}

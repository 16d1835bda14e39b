import type { MidiNote } from './parse';

/** What was struck together: pitches, with their strings where the instrument sends them. */
export interface Struck {
  readonly midi: number;
  /** 1 = first string. */
  readonly string?: number;
}

/** Notes that begin within so many milliseconds are struck together. Ours. */
export const TOGETHER = 45;

/** Whether the instrument sends each string on a channel of its own, and which is the first string's. */
export type Channels =
  | { readonly kind: 'one' }
  | { readonly kind: 'a string each'; readonly first: number; readonly strings: number };

/**
 * Gathers notes as they are struck into moments. Times are given, so that nothing here waits: whoever
 * listens calls `settle` after `TOGETHER` milliseconds.
 */
export class Gatherer {
  private open: Struck[] = [];
  private since = 0;

  constructor(private readonly channels: Channels) {}

  /** @returns the moment before, where this note begins another one. */
  take(note: MidiNote, now: number): readonly Struck[] {
    if (note.kind === 'off') return [];
    const before = this.open.length > 0 && now - this.since > TOGETHER ? this.settle() : [];
    if (this.open.length === 0) this.since = now;
    const string = this.stringOf(note.channel);
    const known = this.open.some((s) => s.midi === note.midi && s.string === string);
    if (!known) this.open.push(string === null ? { midi: note.midi } : { midi: note.midi, string });
    return before;
  }

  /** Ends the moment that is open. */
  settle(): readonly Struck[] {
    const struck = this.open;
    this.open = [];
    return struck;
  }

  private stringOf(channel: number): number | null {
    if (this.channels.kind === 'one') return null;
    const string = channel - this.channels.first + 1;
    return string >= 1 && string <= this.channels.strings ? string : null;
  }
}

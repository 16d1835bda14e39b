/** One key or string that was struck or let go. */
export interface MidiNote {
  readonly kind: 'on' | 'off';
  /** 0 to 15; on the page of an instrument channels count from 1. */
  readonly channel: number;
  /** MIDI key number, 60 = C4. */
  readonly midi: number;
}

/** Data bytes of channel messages by the upper half of their status (MIDI 1.0, table of status bytes). */
const LENGTHS: Readonly<Record<number, 1 | 2>> = {
  8: 2,
  9: 2,
  10: 2,
  11: 2,
  12: 1,
  13: 1,
  14: 2,
};

/**
 * Reads a stream of MIDI 1.0 bytes as it comes, in pieces of any size. Keeps running status; real-time
 * bytes (F8 to FF) may stand anywhere and change nothing; system messages end running status and are
 * passed over. A note-on with velocity 0 is a note-off.
 * Source: the MIDI 1.0 detailed specification; bytes from memory.
 */
export class MidiParser {
  private status = 0;
  private data: number[] = [];

  /** @param bytes 0 to 255. */
  read(bytes: Iterable<number>): readonly MidiNote[] {
    const notes: MidiNote[] = [];
    for (const byte of bytes) {
      if (byte >= 0xf8) continue;
      if (byte >= 0x80) {
        this.status = byte < 0xf0 ? byte : 0;
        this.data = [];
        continue;
      }
      // Data without a status to go with: the middle of a system message, or noise.
      if (this.status === 0) continue;
      this.data.push(byte);
      if (this.data.length < LENGTHS[this.status >> 4]!) continue;
      const note = this.note();
      if (note !== null) notes.push(note);
      this.data = [];
    }
    return notes;
  }

  private note(): MidiNote | null {
    const kind = this.status >> 4;
    const [midi, velocity] = this.data;
    if (midi === undefined || (kind !== 8 && kind !== 9)) return null;
    const on = kind === 9 && velocity !== 0;
    return { kind: on ? 'on' : 'off', channel: this.status & 0x0f, midi };
  }
}

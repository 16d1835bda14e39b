import { bytes, longs, shorts } from './column';
import { NOTE, NOTE_FIELDS } from './sheet';

/** Bits that say where a note stands in its line. */
export const MARK = {
  /** The first of its event. */
  event: 1,
  /** The first of its voice. */
  voice: 2,
  /** The highest of its event, the first of several. */
  top: 4,
} as const;

/** The notes of all phrases one after the other, a column a field. */
export class NotePool {
  readonly mark = bytes();
  readonly voice = bytes();
  readonly event = shorts();
  readonly midi = bytes();
  readonly start = bytes();
  readonly heard = bytes();
  readonly keyStart = bytes();
  readonly keyHeard = bytes();
  /** A chord in its key, as `Chords` numbers them; 0 for none. */
  readonly owner = longs();
  readonly role = bytes();
  readonly string = bytes();
  readonly fret = bytes();
  readonly techniques = longs();
  readonly duration = longs();
  readonly rest = longs();
  readonly onset = longs();

  get length(): number {
    return this.voice.length;
  }

  /** @param owners The number of each chord of the phrase, in the order of its chords. */
  add(notes: Uint32Array, owners: readonly number[]): void {
    const first = this.length;
    for (let at = 0; at < notes.length; at += NOTE_FIELDS) {
      const owner = notes[at + NOTE.owner]!;
      this.voice.push(notes[at + NOTE.voice]!);
      this.event.push(notes[at + NOTE.event]!);
      this.midi.push(notes[at + NOTE.midi]!);
      this.start.push(notes[at + NOTE.start]!);
      this.heard.push(notes[at + NOTE.heard]!);
      this.keyStart.push(notes[at + NOTE.keyStart]!);
      this.keyHeard.push(notes[at + NOTE.keyHeard]!);
      this.owner.push(owner === 0 ? 0 : owners[owner - 1]!);
      this.role.push(notes[at + NOTE.role]!);
      this.string.push(notes[at + NOTE.string]!);
      this.fret.push(notes[at + NOTE.fret]!);
      this.techniques.push(notes[at + NOTE.techniques]!);
      this.duration.push(notes[at + NOTE.duration]!);
      this.rest.push(notes[at + NOTE.rest]!);
      this.onset.push(notes[at + NOTE.onset]!);
    }
    this.addMarks(first);
  }

  /** Notes as they were added. @param owners The number of each chord of the phrase. */
  notesIn(first: number, end: number, owners: Uint32Array): Uint32Array {
    const notes = new Uint32Array((end - first) * NOTE_FIELDS);
    for (let i = first, at = 0; i < end; i++, at += NOTE_FIELDS) {
      const owner = this.owner.values[i]!;
      notes[at + NOTE.voice] = this.voice.values[i]!;
      notes[at + NOTE.event] = this.event.values[i]!;
      notes[at + NOTE.midi] = this.midi.values[i]!;
      notes[at + NOTE.start] = this.start.values[i]!;
      notes[at + NOTE.heard] = this.heard.values[i]!;
      notes[at + NOTE.keyStart] = this.keyStart.values[i]!;
      notes[at + NOTE.keyHeard] = this.keyHeard.values[i]!;
      notes[at + NOTE.owner] = owner === 0 ? 0 : owners.indexOf(owner) + 1;
      notes[at + NOTE.role] = this.role.values[i]!;
      notes[at + NOTE.string] = this.string.values[i]!;
      notes[at + NOTE.fret] = this.fret.values[i]!;
      notes[at + NOTE.techniques] = this.techniques.values[i]!;
      notes[at + NOTE.duration] = this.duration.values[i]!;
      notes[at + NOTE.rest] = this.rest.values[i]!;
      notes[at + NOTE.onset] = this.onset.values[i]!;
    }
    return notes;
  }

  private addMarks(first: number): void {
    const { voice, event, midi, mark } = this;
    let top = first;
    for (let i = first; i < this.length; i++) {
      const newVoice = i === first || voice.values[i] !== voice.values[i - 1];
      const newEvent = newVoice || event.values[i] !== event.values[i - 1];
      mark.push(Number(newEvent) * MARK.event + Number(newVoice) * MARK.voice);
      const higher = midi.values[i]! > midi.values[top]!;
      if (!newEvent && higher) mark.values[top]! &= ~MARK.top;
      if (newEvent || higher) {
        top = i;
        if (midi.values[i]! > 0) mark.values[i]! |= MARK.top;
      }
    }
  }
}

import { MARK, type NotePool } from '../catalogue/pool';
import { NOTE, NOTE_FIELDS, type Sheet } from '../catalogue/sheet';

/** A melody as it is compared: the highest heard note of each event of the first voice, in order of time. */
export interface AlikeLine {
  /** MIDI. */
  readonly pitches: ArrayLike<number>;
  /** Against the chord, as `degreeCode` gives them; as many as pitches. */
  readonly degrees: ArrayLike<number>;
  /** In ticks from the first note; one more than pitches, the last the end of the last note. */
  readonly onsets: ArrayLike<number>;
}

/** A longer piece is compared by its beginning. */
export const MOST_NOTES = 64;

/** The upper line of a phrase as numbers, for measuring how alike two phrases are. */
export function alikeLine({ notes }: Pick<Sheet, 'notes'>): AlikeLine {
  const line = new LineMaker();
  let event = -1;
  for (let at = 0; at < notes.length; at += NOTE_FIELDS) {
    const midi = notes[at + NOTE.midi]!;
    if (notes[at + NOTE.voice] !== 0 || midi === 0) continue;
    const heard = notes[at + NOTE.heard]!;
    if (notes[at + NOTE.event] === event) {
      line.higher(midi, heard);
      continue;
    }
    if (line.isFull) break;
    event = notes[at + NOTE.event]!;
    line.add(midi, heard, notes[at + NOTE.onset]!, notes[at + NOTE.duration]!);
  }
  return line.made();
}

/** The same of a phrase of which the notes lie in a pool from one place up to another. */
export function alikeLineIn(pool: NotePool, from: number, to: number): AlikeLine {
  const { mark, voice, midi, heard, onset, duration } = pool;
  const line = new LineMaker();
  for (let i = from; i < to && !line.isFull; i++) {
    // Voices lie one after the other, the first one first.
    if (voice.values[i] !== 0) break;
    if ((mark.values[i]! & MARK.top) === 0) continue;
    line.add(midi.values[i]!, heard.values[i]!, onset.values[i]!, duration.values[i]!);
  }
  return line.made();
}

class LineMaker {
  private readonly pitches: number[] = [];
  private readonly degrees: number[] = [];
  private readonly starts: number[] = [];
  private end = 0;

  get isFull(): boolean {
    return this.pitches.length === MOST_NOTES;
  }

  add(pitch: number, degree: number, onset: number, duration: number): void {
    this.pitches.push(pitch);
    this.degrees.push(degree);
    this.starts.push(onset);
    this.end = onset + duration;
  }

  /** Another note of the last event. */
  higher(pitch: number, degree: number): void {
    const last = this.pitches.length - 1;
    if (pitch <= this.pitches[last]!) return;
    this.pitches[last] = pitch;
    this.degrees[last] = degree;
  }

  made(): AlikeLine {
    const { pitches, degrees, starts, end } = this;
    const first = starts[0] ?? 0;
    return { pitches, degrees, onsets: [...starts, end].map((t) => t - first) };
  }
}

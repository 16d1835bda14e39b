import { NOTE, NOTE_FIELDS, type Sheet } from '../catalogue/sheet';

/**
 * A melody as it is compared: the highest heard note of each event of the first voice. Lists of one
 * length, in order of time.
 */
export interface AlikeLine {
  /** MIDI. */
  readonly pitches: readonly number[];
  /** In ticks from the first note. */
  readonly onsets: readonly number[];
  readonly durations: readonly number[];
  /** Against the chord, as `degreeCode` gives them. */
  readonly degrees: readonly number[];
  /** Logarithm to the base 2 of the time to the next note, of the last one of its own length. */
  readonly paces: readonly number[];
}

/** The line of notes that are given by the other fields. */
export function withPaces(line: Omit<AlikeLine, 'paces'>): AlikeLine {
  const { onsets, durations } = line;
  const paces = onsets.map((t, i) => {
    const next = onsets[i + 1];
    return Math.log2(Math.max(1, next === undefined ? durations[i]! : next - t));
  });
  return { ...line, paces };
}

/** A longer piece is compared by its beginning. */
export const MOST_NOTES = 64;

/** The upper line of a phrase as numbers, for measuring how alike two phrases are. */
export function alikeLine({ notes }: Pick<Sheet, 'notes'>): AlikeLine {
  const pitches: number[] = [];
  const onsets: number[] = [];
  const durations: number[] = [];
  const degrees: number[] = [];
  let event = -1;
  for (let at = 0; at < notes.length; at += NOTE_FIELDS) {
    const midi = notes[at + NOTE.midi]!;
    if (notes[at + NOTE.voice] !== 0 || midi === 0) continue;
    const last = pitches.length - 1;
    if (notes[at + NOTE.event] === event) {
      if (midi <= pitches[last]!) continue;
      pitches[last] = midi;
      degrees[last] = notes[at + NOTE.heard]!;
      continue;
    }
    if (pitches.length === MOST_NOTES) break;
    event = notes[at + NOTE.event]!;
    pitches.push(midi);
    onsets.push(notes[at + NOTE.onset]!);
    durations.push(notes[at + NOTE.duration]!);
    degrees.push(notes[at + NOTE.heard]!);
  }
  const start = onsets[0] ?? 0;
  return withPaces({ pitches, onsets: onsets.map((t) => t - start), durations, degrees });
}

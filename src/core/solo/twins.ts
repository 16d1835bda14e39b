import type { Phrase } from '../phrase/types';
import type { Phrases, Sketched } from './placer';

/**
 * Tells candidates that are played alike: a library may have the same music many times under other names,
 * and what one of them cannot do the others cannot either.
 */
export class Twins {
  private readonly names = new Map<number, string>();

  constructor(
    private readonly phrases: Phrases,
    /** The chords of so many bars, as a name. */
    private readonly windowAt: (start: number, bars: number) => string,
  ) {}

  /** Whether both are the same music, moved to the same chords in the same octave. */
  are(a: Sketched, b: Sketched): boolean {
    if (a.octaves !== b.octaves || a.sketch.midi.length !== b.sketch.midi.length) return false;
    if (!a.sketch.midi.every((m, i) => m === b.sketch.midi[i])) return false;
    return this.chordsOf(a) === this.chordsOf(b) && this.musicOf(a) === this.musicOf(b);
  }

  private chordsOf({ start, end }: Sketched): string {
    return this.windowAt(start, end - start);
  }

  private musicOf({ index }: Sketched): string {
    const name = this.names.get(index) ?? musicOf(this.phrases.at(index)!);
    this.names.set(index, name);
    return name;
  }
}

/** All that a move and the hand look at, and nothing that names; the tempo is the form's (`moveAt`). */
function musicOf({ instrument, key, pickup, bars, length, chords, voices }: Phrase): string {
  return JSON.stringify([instrument, key, pickup, bars, length, chords, voices]);
}

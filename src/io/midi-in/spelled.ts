import type { Phrase, Ticks } from '../../core/phrase/types';
import { chordOf } from '../../core/theory/chord';
import { type Degree, degreeNearMidi, parseDegree } from '../../core/theory/degree';
import { midiOf, type Pitch, type PitchClass } from '../../core/theory/pitch';
import { spellAt } from '../../core/understand/spell';
import type { Song } from './song';

/** A degree and, of a bend, that of its target. */
interface Sung {
  readonly start: Degree;
  readonly heard: Degree;
}

/**
 * Names for bare numbers. Where lyrics are degrees, as in our own files, they say what a note is over its
 * chord; elsewhere it is guessed from chord and key (P6).
 */
export class Namer {
  private readonly sung: ReadonlyMap<number, readonly Sung[]>;
  /** Notes whose name is a guess. */
  guessed = 0;

  constructor(
    song: Song,
    private readonly phrase: Phrase,
  ) {
    this.sung = new Map(
      song.lyrics.flatMap((l) => {
        const words = degreesOf(l.text);
        return words === null ? [] : [[Math.round(l.at), words] as const];
      }),
    );
  }

  /**
   * The name of a note as it is fretted.
   * @param rank Of the notes struck at the moment, from the lowest string: as degrees are sung.
   */
  start(onset: Ticks, midi: number, rank: number): Pitch {
    const said = this.said(onset, midi, rank, (s) => s.start);
    if (said === null) this.guessed += 1;
    return said ?? spellAt(this.phrase, onset, midi);
  }

  /** The name of what it is bent to. */
  target(onset: Ticks, midi: number, rank: number): Pitch {
    return this.said(onset, midi, rank, (s) => s.heard) ?? spellAt(this.phrase, onset, midi);
  }

  /** Over the chord at the onset, else over the next (D2), else over the tonic. */
  private said(
    onset: Ticks,
    midi: number,
    rank: number,
    degreeOf: (s: Sung) => Degree,
  ): Pitch | null {
    const all = this.at(onset);
    const own = all[rank];
    if (own === undefined) return null;
    const sung = [own, ...all];
    for (const root of this.roots(onset)) {
      for (const s of sung) {
        const pitch = degreeNearMidi(root, degreeOf(s), midi);
        if (pitch !== null && midiOf(pitch) === midi) return pitch;
      }
    }
    return null;
  }

  /** Lyrics stand where notes are written, swung or not. */
  private at(onset: Ticks): readonly Sung[] {
    return this.sung.get(onset) ?? [];
  }

  private roots(onset: Ticks): readonly PitchClass[] {
    const { chords, key } = this.phrase;
    let i = -1;
    while (i + 1 < chords.length && chords[i + 1]!.onset <= onset) i += 1;
    const near = [chords[Math.max(0, i)], chords[i + 1]];
    const roots = near.flatMap((c) => (c?.symbol == null ? [] : [chordOf(c.symbol).root]));
    return [...roots, key.tonic];
  }
}

/** `b3-3 5`: degrees from the lowest string up; null for other words. */
function degreesOf(text: string): readonly Sung[] | null {
  const out: Sung[] = [];
  for (const word of text.split(' ')) {
    const [a = '', b = a] = word.split('-');
    const start = parseDegree(a);
    const heard = parseDegree(b);
    if (start === null || heard === null) return null;
    out.push({ start, heard });
  }
  return out.length === 0 ? null : out;
}

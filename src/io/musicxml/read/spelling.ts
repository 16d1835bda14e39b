import type { ChordChange, Key, Pitch, Ticks } from '../../../core/phrase/types';
import { chordOf } from '../../../core/theory/chord';
import { pitchClassOf, USUAL_DEGREES } from '../../../core/theory/degree';
import { keyScale } from '../../../core/theory/key';
import {
  chromaOf,
  LETTERS,
  letterIndex,
  midiOf,
  mod,
  type PitchClass,
  pitchAt,
  pitchOfMidi,
  staffStep,
} from '../../../core/theory/pitch';

/** Names pitches that the file gives only as a number of semitones, such as a bend's target. */
export class Speller {
  readonly #chords: readonly ChordChange[];
  readonly #key: Key;

  constructor(chords: readonly ChordChange[], key: Key) {
    this.#chords = chords;
    this.#key = key;
  }

  /** The pitch sounding `midi` under the first usual degree over the chord at an onset, else the key. */
  over(midi: number, onset: Ticks): Pitch {
    const root = this.#rootAt(onset);
    for (const d of USUAL_DEGREES[mod(midi - chromaOf(root), 12)]!) {
      const name = pitchClassOf(root, d);
      const pitch = name === null ? null : inOctave(name, midi);
      if (pitch !== null) return pitch;
    }
    return pitchOfMidi(midi, 'flat');
  }

  /** The next note of the key's scale above a pitch, a semitone or two away: what a trill alternates with. */
  neighbour(p: Pitch): Pitch {
    const step = staffStep(p) + 1;
    const letter = LETTERS[mod(letterIndex(p.letter) + 1, 7)]!;
    const inKey = keyScale(this.#key.mode)
      .map((d) => pitchClassOf(this.#key.tonic, d))
      .find((c) => c?.letter === letter);
    for (const alter of [inKey?.alter ?? 0, 0, -1, 1, 2]) {
      const natural = pitchAt(step, midiOf({ letter, alter: 0, octave: Math.floor(step / 7) }));
      const upper = natural === null ? null : pitchAt(step, midiOf(natural) + alter);
      const width = upper === null ? 0 : midiOf(upper) - midiOf(p);
      if (upper !== null && width >= 1 && width <= 2) return upper;
    }
    return pitchOfMidi(midiOf(p) + 2, 'flat');
  }

  /** The pitch `semitones` (1 or 2) above, on the next letter. */
  step(p: Pitch, semitones: 1 | 2): Pitch {
    return (
      pitchAt(staffStep(p) + 1, midiOf(p) + semitones) ?? pitchOfMidi(midiOf(p) + semitones, 'flat')
    );
  }

  #rootAt(onset: Ticks): PitchClass {
    let low = 0;
    let high = this.#chords.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.#chords[middle]!.onset <= onset) low = middle;
      else high = middle - 1;
    }
    // A pickup before the first symbol uses the first chord (D2).
    const symbol = this.#chords[low]?.symbol ?? null;
    return symbol === null ? this.#key.tonic : chordOf(symbol).root;
  }
}

/** The octave of a pitch class that sounds `midi`, or null where its chroma differs. */
function inOctave(c: PitchClass, midi: number): Pitch | null {
  const octave = (midi - midiOf({ ...c, octave: -1 })) / 12 - 1;
  return Number.isInteger(octave) ? { letter: c.letter, alter: c.alter, octave } : null;
}

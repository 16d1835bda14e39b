import {
  midiOf,
  mod,
  type Pitch,
  type PitchClass,
  parsePitch,
  parsePitchClass,
} from '../theory/pitch';

/**
 * A tuning as players write it. Names alone go from the lowest string up and may stand without spaces (`DADGBE`, `D A D F# A D`:
 * common practice); each takes the octave nearest to what its string has now, the lower of two as near. Pitches (`E4 B3 G3 D3 A2 D2`)
 * go from the first string on; three or more that only rise are meant from the lowest up, and are taken so, unless the strings
 * that are there rise from the first one on too.
 * @param now Open strings of the instrument, first string first; names alone must be as many.
 * @returns The open strings, first string first, or what is wrong with the text.
 */
export function typedTuning(text: string, now: readonly Pitch[]): readonly Pitch[] | string {
  const words = wordsOf(text);
  if (!words.some((w) => /\d/u.test(w))) return named(words, now);
  const pitches: Pitch[] = [];
  for (const word of words) {
    const pitch = parsePitch(word);
    if (!pitch.ok) return pitch.problems[0]!.message;
    pitches.push(pitch.value);
  }
  return pitches.length > 2 && rises(pitches) && !rises(now) ? pitches.reverse() : pitches;
}

/** Names that stand together are told apart by their capitals. */
function wordsOf(text: string): readonly string[] {
  const words = text.trim().split(/[\s,]+/u);
  const [only, more] = words;
  if (more !== undefined || only === undefined || !/^(?:[A-G][#b♯♭]?){2,}$/u.test(only))
    return words;
  return only.match(/[A-G][#b♯♭]?/gu) ?? words;
}

function named(words: readonly string[], now: readonly Pitch[]): readonly Pitch[] | string {
  const names: PitchClass[] = [];
  for (const word of words) {
    const name = parsePitchClass(word);
    if (name === null) return `'${word}' is not a pitch`;
    names.push(name);
  }
  if (names.length !== now.length) {
    return `the instrument has ${now.length} strings, and these are ${names.length}`;
  }
  return names.reverse().map((name, i) => nearest(name, midiOf(now[i]!)));
}

/** From a tritone below to less than one above. */
function nearest(name: PitchClass, midi: number): Pitch {
  const low = { ...name, octave: 0 };
  const wanted = midi - 6 + mod(midiOf(low) - (midi - 6), 12);
  return { ...name, octave: (wanted - midiOf(low)) / 12 };
}

function rises(pitches: readonly Pitch[]): boolean {
  return pitches.every((p, i) => i === 0 || midiOf(p) > midiOf(pitches[i - 1]!));
}

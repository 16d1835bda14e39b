import type { ChordChange } from '../../core/phrase/types';
import { chordOf } from '../../core/theory/chord';
import { degreeSemitones } from '../../core/theory/degree';
import { type Key, keyScale, type Mode, pitchClassAtFifths } from '../../core/theory/key';
import { chromaOf, mod } from '../../core/theory/pitch';
import type { Song, SongNote } from './song';

/** The key of the first signature; null where the file has none that can be. */
export function keyOfSignature(song: Song): Key | null {
  const said = song.keys[0];
  if (said === undefined || Math.abs(said.fifths) > 7) return null;
  const tonic = pitchClassAtFifths(said.fifths + (said.minor ? 3 : 0));
  return tonic === null ? null : { tonic, mode: said.minor ? 'minor' : 'major' };
}

/**
 * The key whose scale holds most of what sounds, with weight on tonic and fifth, on the last note, and on
 * the roots of the first and last chord (ours; a guess, and told as one).
 */
export function guessKey(
  notes: readonly Pick<SongNote, 'at' | 'end' | 'midi'>[],
  chords: readonly ChordChange[],
): Key {
  const weight = Array<number>(12).fill(0);
  for (const n of notes) weight[mod(n.midi, 12)]! += Math.min(n.end - n.at, 20_160);
  const total = Math.max(
    1,
    weight.reduce((a, b) => a + b, 0),
  );
  const last = notes.at(-1)?.midi ?? 0;
  const roots = [chords[0], chords.at(-1)].flatMap((c) =>
    c?.symbol == null ? [] : [chromaOf(chordOf(c.symbol).root)],
  );
  let found: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' };
  let best = Number.NEGATIVE_INFINITY;
  for (const mode of ['major', 'minor'] as const satisfies readonly Mode[]) {
    for (let fifths = -5; fifths <= 6; fifths++) {
      const tonic = pitchClassAtFifths(fifths + (mode === 'minor' ? 3 : 0));
      if (tonic === null) continue;
      const home = chromaOf(tonic);
      const inside = keyScale(mode).reduce(
        (sum, d) => sum + weight[mod(home + degreeSemitones(d), 12)]!,
        0,
      );
      const score =
        inside / total +
        (0.3 * (weight[home]! + weight[mod(home + 7, 12)]!)) / total +
        (mod(last, 12) === home ? 0.1 : 0) +
        0.2 * roots.filter((r) => r === home).length;
      if (score > best + 1e-9) [best, found] = [score, { tonic, mode }];
    }
  }
  return found;
}

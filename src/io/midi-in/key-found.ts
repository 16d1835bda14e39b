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

/** A key that music may be in, and what speaks for it. */
export interface ProposedKey {
  readonly key: Key;
  /** How much of all that sounds lies in its scale, by duration, 0 to 1. */
  readonly inScale: number;
  /** How much is its tonic or fifth, likewise. */
  readonly home: number;
  /** Whether the last note is its tonic. */
  readonly endsHome: boolean;
}

/** The likeliest key (a guess, and told as one). */
export function guessKey(
  notes: readonly Pick<SongNote, 'at' | 'end' | 'midi'>[],
  chords: readonly ChordChange[],
): Key {
  return proposeKeys(notes, chords, 1)[0]!.key;
}

/**
 * The keys whose scales hold most of what sounds, the likeliest first, with weight on tonic and fifth, on the last
 * note, and on the roots of the first and last chord (ours).
 * @param count How many, 1 to 24.
 */
export function proposeKeys(
  notes: readonly Pick<SongNote, 'at' | 'end' | 'midi'>[],
  chords: readonly ChordChange[],
  count = 3,
): readonly ProposedKey[] {
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
  const found: (ProposedKey & { readonly score: number })[] = [];
  for (const mode of ['major', 'minor'] as const satisfies readonly Mode[]) {
    for (let fifths = -5; fifths <= 6; fifths++) {
      const tonic = pitchClassAtFifths(fifths + (mode === 'minor' ? 3 : 0));
      if (tonic === null) continue;
      const home = chromaOf(tonic);
      const inside = keyScale(mode).reduce(
        (sum, d) => sum + weight[mod(home + degreeSemitones(d), 12)]!,
        0,
      );
      const inScale = inside / total;
      const atHome = (weight[home]! + weight[mod(home + 7, 12)]!) / total;
      const endsHome = mod(last, 12) === home;
      const score =
        inScale +
        0.3 * atHome +
        (endsHome ? 0.1 : 0) +
        0.2 * roots.filter((r) => r === home).length;
      found.push({ key: { tonic, mode }, inScale, home: atHome, endsHome, score });
    }
  }
  // Rounded, so that of two that are alike the first one stays first.
  const rank = (score: number) => Math.round(score * 1e9);
  return found
    .sort((a, b) => rank(b.score) - rank(a.score))
    .slice(0, count)
    .map(({ score: _, ...proposed }) => proposed);
}

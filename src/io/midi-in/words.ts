import type { Phrase, Ticks } from '../../core/phrase/types';
import type { Song } from './song';

/** Signs of a lane or of words that are kept. */
export const MOST_SIGNS = 20_000;

/** Texts of a file as words over the staff. */
export function wordsOf(song: Song, length: Ticks): Phrase['marks'] {
  const grid = 315;
  return song.texts
    .map((t) => ({ onset: Math.round(t.at / grid) * grid, text: t.text }))
    .filter((t) => t.text !== '' && t.onset < length)
    .slice(0, MOST_SIGNS)
    .map((t) => ({ kind: 'words', ...t }));
}

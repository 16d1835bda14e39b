import { MOST_ITEMS } from '../../core/lesson/types';

/**
 * Bounds of what is read. They keep time and memory of a hostile or broken file bounded, and are
 * far above any phrase that can be looked at.
 */
export const LIMITS = {
  /** Characters of a phrase file, 16 Mi. */
  phraseText: 16 * 1024 * 1024,
  /** Characters of a library file, 128 Mi. */
  libraryText: 128 * 1024 * 1024,
  /** Objects inside objects, lists inside lists. */
  depth: 24,
  /** Numbers, texts, lists and objects in one phrase. */
  values: 4_000_000,
  /** Notes in one phrase, dead notes included. */
  notes: 100_000,
  bars: 10_000,
  chords: 20_000,
  marks: 20_000,
  phrases: 100_000,
  /** Beside phrases in one file: each phrase may have its earlier versions there. */
  others: 1_000_000,
  /** Items and phrases of one lesson. */
  items: MOST_ITEMS,
  /** Ticks from the first to the end, about as many as `bars` can hold. */
  ticks: 100_000_000_000,
  strings: 12,
  frets: 36,
  /** Either number of a swing ratio. */
  swing: 99,
  graces: 16,
  curve: 64,
  /** Corners of the pitch of one sound as it was played. */
  pitches: 4096,
  tags: 100,
} as const;

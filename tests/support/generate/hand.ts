import { DEFAULT_LIMITS } from '../../../src/core/neck/limits';
import { reachMillimetres } from '../../../src/core/phrase/instrument';
import type { Recipe } from './features';
import type { Frame } from './frame';

/** What the events of one voice are made with. */
export interface Hand {
  readonly recipe: Recipe;
  readonly frame: Frame;
  /** The strings this voice may use, ascending; the other voice keeps off them. */
  readonly strings: readonly number[];
  /** The hand stays where it is, because another voice holds notes meanwhile. */
  readonly still: boolean;
  /** Only open strings: a drone (M5). */
  readonly open: boolean;
  /** Most notes in one event. */
  readonly most: number;
  readonly salt: number;
  /** Lowest fret under the fingers; changes while the voice is made. */
  position: number;
  /** The next note id. */
  readonly ids: { next: number };
}

/** Frets the fingers cover above the first, three where they are narrow enough. */
export function widestSpan(hand: Hand): number {
  const reach = (frets: number) =>
    reachMillimetres(hand.frame.instrument, hand.position, hand.position + frets);
  return reach(3) <= DEFAULT_LIMITS.reach ? 3 : reach(2) <= DEFAULT_LIMITS.reach ? 2 : 1;
}

/** Whether a finger reaches the fret without moving the hand. */
export function isInHand(fret: number, hand: Hand): boolean {
  return fret >= hand.position && fret <= hand.position + widestSpan(hand);
}

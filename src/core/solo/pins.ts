import type { Phrase } from '../phrase/types';
import type { Pin, SoloOptions, Spot } from './types';

/** A pin with a phrase. */
export type PhrasePin = Extract<Pin, Spot>;

/** The pins that ask for a phrase, without those that ask for rest. */
export function phrasePins({ pins = [] }: SoloOptions): readonly PhrasePin[] {
  return pins.filter((p): p is PhrasePin => p.index !== null);
}

/** Bars that a phrase covers from where it is pinned, without its pickup: [from, to). */
export function barsOfPin(
  { start, index }: Pin,
  phrases: readonly Phrase[],
): readonly [number, number] {
  return [start, start + (index === null ? 1 : phrases[index]!.bars.length)];
}

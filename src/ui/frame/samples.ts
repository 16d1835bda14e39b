import { texts } from 'virtual:samples';
import type { Phrase } from '../../core/phrase/types';

/** The phrases that come with the app, in the order of their files; tests have checked them. */
export function readSamples(): readonly Phrase[] {
  return texts.map((text): Phrase => JSON.parse(text));
}

import { isNoChord } from '../theory/chord';
import { barsOfSection } from './numerals';
import type { Form } from './types';

/**
 * The numerals of a form in the order in which they come, one for as long as it stays: what is practised
 * over its chords goes from one to the next.
 */
export function chordsInTurn(form: Pick<Form, 'sections'>): readonly string[] {
  const words = form.sections.flatMap((s) => barsOfSection(s).flatMap((bar) => bar.split(/\s+/u)));
  const chords = words.filter((w) => w !== '' && !isNoChord(w));
  return chords.filter((c, i) => c !== chords[i - 1]);
}

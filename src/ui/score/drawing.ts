/*
 * What the page needs of the engraver, in one piece that is fetched when the first music is shown.
 * Legends and pairs of phrases come with the pages that have them.
 */
import type { Phrase } from '../../core/phrase/types';
import { createEngraver } from '../../engrave/engraver';
import type { EngraveOptions } from '../../engrave/options';
import { flat } from '../../engrave/page/flat';
import type { EngravedSystem } from '../../engrave/page/system';

export { createEngraver, flat };

/** The lines of a phrase that is drawn once. */
export function engrave(p: Phrase, o: EngraveOptions): readonly EngravedSystem[] {
  return createEngraver().engrave(p, o).systems;
}

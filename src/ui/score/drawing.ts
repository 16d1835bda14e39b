/*
 * What the page needs of the engraver, in one piece that is fetched when the first music is shown.
 */
import type { Phrase } from '../../core/phrase/types';
import { createEngraver } from '../../engrave/engraver';
import { type LegendEntry, legendOf } from '../../engrave/legend/legend';
import { type EngraveOptions, settingsOf } from '../../engrave/options';
import type { EngravedSystem } from '../../engrave/page/system';

export { engraveTogether } from '../../engrave/together';
export { createEngraver };

/** The lines of a phrase that is drawn once. */
export function engrave(p: Phrase, o: EngraveOptions): readonly EngravedSystem[] {
  return createEngraver().engrave(p, o).systems;
}

/** What the signs in a phrase mean, with a picture of each. */
export function legendFor(p: Phrase, o: EngraveOptions): readonly LegendEntry[] {
  return legendOf(p, settingsOf(o));
}

import type { Phrase } from '../../core/phrase/types';
import { analyse } from '../../core/understand/analyse';
import type { EngraveOptions } from '../../engrave/options';
import type { EngravedSystem } from '../../engrave/page/system';
import { readQuick } from '../../io/quick/read';
import { degreeLabels } from '../../publish/degree-labels';

/** Of our own invention: the flat third slid to the third, the sixth, and the flat seventh. */
const TEXT = '[A] {A7} e 4:7 3:5 3:6 2:5 2:7 2:8 q 3:6';
const LOOK = { width: 380, size: 7.4, tempo: false, barNumbers: false } as const;

/** A phrase over I; null where the text cannot be read (tests read it). */
export function overOne(): Phrase | null {
  const read = readQuick(TEXT, { id: 'first-visit', now: '2026-11-27T00:00:00Z' });
  return read.ok ? read.value : null;
}

type Engrave = (p: Phrase, o: EngraveOptions) => readonly EngravedSystem[];

/** One line of SVG with the degrees beneath, as the first visit shows it. */
export function firstLine(engrave: Engrave, p: Phrase): string {
  const degrees = degreeLabels(analyse(p), 'chord');
  return engrave(p, { ...LOOK, ...(degrees === null ? {} : { degrees }) })[0]?.svg ?? '';
}

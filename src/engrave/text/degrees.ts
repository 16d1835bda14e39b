import type { NoteId } from '../../core/phrase/types';
import { measureText } from '../font/measure';
import type { Box } from '../ink/box';
import { type Fragment, Pen } from '../ink/pen';
import type { ItemPlace } from '../staff/places';

/** What the degree line says of a note. */
export interface DegreeLabel {
  /** Typeset, such as `♭7→R`. */
  readonly text: string;
  /** A class for the style sheet beside `dw-degree`, such as the note's role. */
  readonly className?: string;
}

export type DegreeLabels = ReadonlyMap<NoteId, DegreeLabel>;

export const DEGREE_SIZE = 12;
const DEGREE_LEADING = 14;

/** The degrees of one moment: one under the other, the highest note first, the second voice below. */
export interface DegreeColumn {
  readonly fragment: Fragment;
  /** Lines it takes in each voice. */
  readonly lines: readonly [number, number];
  readonly places: readonly { readonly id: NoteId; readonly box: Box }[];
}

/**
 * Draws the degrees of one moment under the middles of their notes, each line at its place under
 * y = 0 (the base line of the first).
 * @param firstLines Lines that the first voice takes anywhere in this line of music.
 */
export function drawDegrees(
  items: readonly ItemPlace[],
  labels: DegreeLabels,
  firstLines: number,
  changed: ReadonlySet<NoteId>,
  size = DEGREE_SIZE,
): DegreeColumn {
  const pen = new Pen();
  const lines: [number, number] = [0, 0];
  const places: { id: NoteId; box: Box }[] = [];
  const leading = (DEGREE_LEADING * size) / DEGREE_SIZE;
  for (const p of items) {
    if (p.item.written.part !== 1) continue;
    const { voice } = p.item;
    for (const n of [...p.item.notes].reverse()) {
      const label = labels.get(n.note.id);
      if (label === undefined) continue;
      const line = lines[voice]++ + (voice === 1 ? firstLines : 0);
      const m = measureText(label.text, 'text', size);
      const x = p.centre - (m.x0 + m.x1) / 2;
      const y = line * leading;
      const marked = changed.has(n.note.id);
      const classes = ['dw-degree', ...(marked ? ['dw-changed'] : []), label.className ?? ''];
      pen.sign('degree', classes.join(' ').trim());
      pen.text(label.text, x, y, 'text', size);
      // A changed degree is underlined, so that colour does not have to say it.
      if (marked) pen.line(x + m.x0, y + 2.5, x + m.x1, y + 2.5, 1);
      places.push({
        id: n.note.id,
        box: { x0: x + m.x0, x1: x + m.x1, y0: y + m.y0, y1: y + m.y1 },
      });
    }
  }
  return { fragment: pen.done(), lines, places };
}

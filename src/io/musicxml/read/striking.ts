import { nonEmpty } from '../../../core/phrase/rebuild';
import type { MomentTechnique } from '../../../core/technique/fields';
import type { BuiltEvent, NoteContext } from './built';
import type { DraftEvent } from './events';
import type { Found } from './log';
import type { NoteMarks } from './mark-types';

type Head = { -readonly [K in keyof BuiltEvent['event']]: BuiltEvent['event'][K] };

/** When an event is, and how all that is struck at once is struck. */
export function buildStriking(
  draft: DraftEvent,
  rake: readonly number[],
  found: Found,
  c: NoteContext,
): BuiltEvent['event'] {
  const marks = draft.notes.map((n) => n.parts[0]!.marks);
  const some = (field: 'palmMute' | 'staccato' | 'accent' | 'tenuto') =>
    marks.some((m) => m[field]);
  const head: Head = { onset: draft.onset, duration: draft.end - draft.onset };
  const said = { marks, some, rake, draft, found, c };
  for (const read of Object.values(STRIKING)) read?.(head, said);
  return head;
}

interface Said {
  readonly marks: readonly NoteMarks[];
  readonly some: (field: 'palmMute' | 'staccato' | 'accent' | 'tenuto') => boolean;
  readonly rake: readonly number[];
  readonly draft: DraftEvent;
  readonly found: Found;
  readonly c: NoteContext;
}

/** How each technique of a moment is read, in this order; graces are built by themselves. */
const STRIKING: Readonly<Record<MomentTechnique, ((head: Head, s: Said) => void) | null>> = {
  strum: (head, { marks, draft, found, c }) => {
    const strum = marks.find((m) => m.strum !== null)?.strum ?? null;
    if (strum === null) return;
    if (draft.notes.length >= 2) head.strum = strum;
    else c.log.add('dropped', 'an arpeggio of one note: not kept', found);
  },
  stroke: (head, { marks, found, c }) => {
    const stroke = marks.find((m) => m.stroke !== null)?.stroke ?? null;
    if (stroke === null) return;
    if (head.strum === undefined) head.stroke = stroke;
    else if (stroke !== head.strum) {
      c.log.add('dropped', 'a pick stroke against its strum is left out', found);
    }
  },
  rake: (head, { rake }) => {
    const struck = nonEmpty(rake);
    if (struck !== null) head.rake = struck;
  },
  palmMute: (head, { some, draft, c }) => {
    if (some('palmMute') || c.muted.covers(draft.onset)) head.palmMute = true;
  },
  staccato: (head, { some }) => {
    if (some('staccato')) head.staccato = true;
  },
  accent: (head, { some }) => {
    if (some('accent')) head.accent = true;
  },
  tenuto: (head, { some }) => {
    if (some('tenuto')) head.tenuto = true;
  },
  tremolo: (head, { marks }) => {
    const tremolo = marks.find((m) => m.tremolo !== null)?.tremolo;
    if (tremolo !== null && tremolo !== undefined) head.tremolo = tremolo;
  },
  graces: null,
};

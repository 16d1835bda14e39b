import { type Around, NOTHING_AROUND } from '../../library/around';
import { foldText } from '../../library/fold';
import { positionOf } from '../../phrase/time';
import type { NoteId, Phrase } from '../../phrase/types';
import { notesOf } from '../../phrase/walk';
import type { Degree } from '../../theory/degree';
import { analyse } from '../../understand/analyse';
import type { NoteReading, PitchReading } from '../../understand/reading';
import type { Query, TextField } from '../query/types';
import { define } from './define';
import { textsOf } from './texts';

/** Why a phrase was found: what to mark and what to say. */
export interface Why {
  readonly notes: ReadonlySet<NoteId>;
  /** The marked notes by bar, in order of time. */
  readonly spots: readonly Spot[];
  /** Words that were looked for, with the fields that say them; none where no field does. */
  readonly said: readonly { readonly text: string; readonly fields: readonly TextField[] }[];
}

export interface Spot {
  /** 0 is the pickup. */
  readonly bar: number;
  readonly degrees: readonly (SpotDegree | null)[];
}

/** The degree of a note, against the chord or else the key; null for a dead note. */
export interface SpotDegree {
  /** From where it is bent or slid, which may be what was looked for (D5); null where it is not. */
  readonly from: Degree | null;
  readonly heard: Degree;
}

/** Why a phrase answers a question: notes to be marked, where they stand, and words that fit. */
export function whyFound(query: Query, p: Phrase, around: Around = NOTHING_AROUND): Why {
  const { notes } = define(query, p, around);
  return { notes, spots: spotsOf(p, notes), said: saidIn(query, p) };
}

function spotsOf(p: Phrase, notes: ReadonlySet<NoteId>): readonly Spot[] {
  if (notes.size === 0) return [];
  const { byId } = analyse(p);
  const spots: { bar: number; degrees: (SpotDegree | null)[] }[] = [];
  for (const { note, onset } of notesOf(p)) {
    if (!notes.has(note.id)) continue;
    const { bar } = positionOf(p, onset);
    const reading = byId.get(note.id);
    const degree = reading === undefined ? null : spotDegree(reading);
    const last = spots.at(-1);
    if (last?.bar === bar) last.degrees.push(degree);
    else spots.push({ bar, degrees: [degree] });
  }
  return spots;
}

/** What a note is against its chord or else the key, and from where it gets there. */
export function spotDegree({ start, heard }: NoteReading): SpotDegree {
  const degree = (p: PitchReading) => p.chordDegree ?? p.keyDegree;
  return { from: start === heard ? null : degree(start), heard: degree(heard) };
}

/** The words that are asked for, not those that must not be there. */
function saidIn(q: Query, p: Phrase): Why['said'] {
  switch (q.kind) {
    case 'both':
    case 'either':
      return q.parts.flatMap((part) => saidIn(part, p));
    case 'text': {
      const fields = TEXT_FIELDS.filter((f) =>
        textsOf(p, f).some((t) => foldText(t).includes(q.text)),
      );
      return fields.length === 0 ? [] : [{ text: q.text, fields }];
    }
    case 'in':
      return textsOf(p, q.field).some((t) => foldText(t).includes(q.text))
        ? [{ text: q.text, fields: [q.field] }]
        : [];
    default:
      return [];
  }
}

const TEXT_FIELDS: readonly TextField[] = ['title', 'tag', 'style', 'source', 'remarks'];

import { sameReading, stateOf } from '../move/report';
import type { NoteState } from '../move/request';
import type { NoteId, Phrase, Role, Ticks } from '../phrase/types';
import { samePitch } from '../theory/pitch';
import { analyse } from '../understand/analyse';
import type { NoteReading } from '../understand/reading';
import { effortOf } from './place';
import { unique } from './spots';

/** What became of a note. */
export type NoteChange = 'kept' | 'added' | 'left out' | 'other pitch' | 'other time' | 'other way';

/** One line of the report: every note with pitch of before and after has one. */
export interface VariedNote {
  readonly id: NoteId;
  /** After; of a note that is left out, before. */
  readonly onset: Ticks;
  readonly change: NoteChange;
  readonly before: NoteState | null;
  readonly after: NoteState | null;
  /** What it is for now (D3); null where there is no chord, or the note is gone. */
  readonly role: Role | null;
}

export interface VaryReport {
  /** By onset. */
  readonly notes: readonly VariedNote[];
  readonly counts: Readonly<Record<NoteChange, number>>;
  /** Signs that had to give way, as trade words, each once. */
  readonly gaveWay: readonly string[];
  /** What it costs the hand before and after (N4); null where a hard rule is broken. */
  readonly effort: { readonly before: number | null; readonly after: number | null };
}

/** What a variation did to every note, and what each note is now. */
export function reportOf(before: Phrase, after: Phrase, gaveWay: readonly string[]): VaryReport {
  const was = analyse(before);
  const is = analyse(after);
  const gone = was.readings
    .filter((r) => !is.byId.has(r.note.id))
    .map(
      (r): VariedNote => ({
        id: r.note.id,
        onset: r.at.onset,
        change: 'left out',
        before: stateOf(r),
        after: null,
        role: null,
      }),
    );
  const there = is.readings.map((r): VariedNote => {
    const old = was.byId.get(r.note.id);
    return {
      id: r.note.id,
      onset: r.at.onset,
      change: old === undefined ? 'added' : changeOf(old, r),
      before: old === undefined ? null : stateOf(old),
      after: stateOf(r),
      role: r.role,
    };
  });
  const notes = [...there, ...gone].sort((a, b) => a.onset - b.onset);
  const count = (change: NoteChange) => notes.filter((n) => n.change === change).length;
  return {
    notes,
    counts: {
      kept: count('kept'),
      added: count('added'),
      'left out': count('left out'),
      'other pitch': count('other pitch'),
      'other time': count('other time'),
      'other way': count('other way'),
    },
    gaveWay: unique(gaveWay),
    effort: { before: effortOf(before), after: effortOf(after) },
  };
}

function changeOf(a: NoteReading, b: NoteReading): NoteChange {
  if (!samePitch(a.heard.pitch, b.heard.pitch)) return 'other pitch';
  if (a.at.onset !== b.at.onset || a.at.event.duration !== b.at.event.duration) return 'other time';
  const way = (r: NoteReading) => JSON.stringify([r.note, r.at.event.graces]);
  return way(a) === way(b) && sameReading(stateOf(a), stateOf(b)) ? 'kept' : 'other way';
}

/** The changed notes, for marks on a page. */
export function changedIds({ notes }: VaryReport): ReadonlySet<NoteId> {
  return new Set(notes.filter((n) => n.change !== 'kept').map((n) => n.id));
}

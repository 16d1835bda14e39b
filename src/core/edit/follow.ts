import type { NoteId } from '../phrase/types';
import { type Block, blockOf, type Chosen, chosenNotes, voiceOf } from './select';
import type { Cell, EditState } from './state';

/**
 * Lets a chosen block go along with its notes where an edit has moved them in time or to other
 * strings, so that what was chosen stays chosen and the next command is about the same notes. A
 * command that has put the selection somewhere itself is left alone.
 */
export function follow(before: EditState, after: EditState): EditState {
  const { cursor, corner } = after.selection;
  const was = before.selection;
  if (was.corner === null || corner === null) return after;
  if (!sameCell(cursor, was.cursor) || !sameCell(corner, was.corner)) return after;
  const chosen = chosenNotes(before);
  const ids = new Set<NoteId>(chosen.map((c) => c.note.id));
  const left = voiceOf(after).events.flatMap((event, eventIndex) =>
    event.notes.filter((n) => ids.has(n.id)).map((note): Chosen => ({ event, eventIndex, note })),
  );
  if (left.length !== ids.size || left.length === 0) return after;
  const [old, now] = [boxOf(chosen), boxOf(left)];
  const b = blockOf(was);
  const block: Block = {
    from: b.from + now.from - old.from,
    to: b.to + now.to - old.to,
    top: b.top + now.top - old.top,
    bottom: b.bottom + now.bottom - old.bottom,
  };
  // The corner stands opposite, also where both had been on one string or at one moment.
  const first = cursor.onset <= corner.onset;
  const above = cursor.string <= corner.string;
  const next = {
    cursor: { onset: first ? block.from : block.to, string: above ? block.top : block.bottom },
    corner: { onset: first ? block.to : block.from, string: above ? block.bottom : block.top },
  };
  if (sameCell(next.cursor, cursor) && sameCell(next.corner, corner)) return after;
  return { ...after, selection: { ...after.selection, ...next } };
}

/** The moments and strings that some notes take up. */
function boxOf(chosen: readonly Chosen[]): Block {
  const onsets = chosen.map((c) => c.event.onset);
  const strings = chosen.map((c) => c.note.string);
  return {
    from: Math.min(...onsets),
    to: Math.max(...onsets),
    top: Math.min(...strings),
    bottom: Math.max(...strings),
  };
}

function sameCell(a: Cell, b: Cell): boolean {
  return a.onset === b.onset && a.string === b.string;
}

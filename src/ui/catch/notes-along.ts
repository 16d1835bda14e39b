import type { HeardNote } from '../../core/heard/types';
import type { NoteId } from '../../core/phrase/types';
import { SILENT, type SoundingNotes } from '../score/sounding';

type Heard = ReadonlyMap<NoteId, Pick<HeardNote, 'onset' | 'end'>>;

/** The notes of a phrase that sound at a moment of the recording, in seconds. */
export function notesAt(heard: Heard, at: number): ReadonlySet<NoteId> {
  return new Set([...heard].filter(([, n]) => n.onset <= at && at < n.end).map(([id]) => id));
}

/**
 * What the score marks while the recording is heard: the same moment as the line in its picture.
 * @param position Seconds of the recording that sound now; null in silence.
 */
export function notesAlong(heard: Heard, position: () => number | null): SoundingNotes {
  let now = SILENT.now();
  let frame = 0;
  const waiting = new Set<() => void>();
  const look = () => {
    const at = position();
    const next = at === null ? SILENT.now() : notesAt(heard, at);
    if (next.size !== now.size || [...next].some((id) => !now.has(id))) {
      now = next;
      for (const changed of waiting) changed();
    }
    frame = requestAnimationFrame(look);
  };
  return {
    // Each line of music asks; one look a frame is for all.
    subscribe: (changed) => {
      waiting.add(changed);
      if (waiting.size === 1) frame = requestAnimationFrame(look);
      return () => {
        waiting.delete(changed);
        if (waiting.size === 0) cancelAnimationFrame(frame);
      };
    },
    now: () => now,
  };
}

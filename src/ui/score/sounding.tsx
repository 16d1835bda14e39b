import { createContext, use, useSyncExternalStore } from 'react';
import type { NoteId } from '../../core/phrase/types';
import type { EngravedSystem } from '../../engrave/page/system';

/** Which notes are heard at the moment. */
export interface SoundingNotes {
  readonly subscribe: (changed: () => void) => () => void;
  /** The same object until it changes. */
  readonly now: () => ReadonlySet<NoteId>;
}

const SILENCE: ReadonlySet<NoteId> = new Set();
/** Nothing is heard. */
export const SILENT: SoundingNotes = { subscribe: () => () => {}, now: () => SILENCE };

/** Around a score whose sounding notes are to be marked. */
export const Sounding = createContext<SoundingNotes>(SILENT);

/**
 * Which of two phrases under each other is marked: both where they are one phrase before and after, else the
 * one that is heard, since notes of different phrases may have the same ids.
 */
export const HeardOf = createContext<'both' | 'upper' | 'lower'>('both');

/** Room around a mark, in px. */
const ROOM = 3;

/**
 * Marks what sounds in one line of music: a frame around each head, fret and degree, over a drawing
 * that stays as it is. Places are shares of the line, which may be shown smaller than it was drawn.
 */
export function SoundingMarks({ line }: { readonly line: EngravedSystem }) {
  const source = use(Sounding);
  const ids = useSyncExternalStore(source.subscribe, source.now);
  if (ids.size === 0) return null;
  const share = (part: number, whole: number) => `${(100 * part) / whole}%`;
  return (
    <div className="sounding">
      {line.hits.notes.flatMap((n) =>
        ids.has(n.id)
          ? [
              <span
                key={`${n.row} ${n.id} ${n.x0}`}
                style={{
                  left: share(n.x0 - ROOM, line.width),
                  top: share(n.y0 - ROOM, line.height),
                  width: share(n.x1 - n.x0 + 2 * ROOM, line.width),
                  height: share(n.y1 - n.y0 + 2 * ROOM, line.height),
                }}
              />,
            ]
          : [],
      )}
    </div>
  );
}

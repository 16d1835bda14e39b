import type { HeardNote } from '../../../core/heard/types';

/** A letter of a name takes so much room, in pixels, and a name so much above and below. */
const NAME = { letter: 6.4, high: 11 };

/** A note of the picture. */
export interface DrawnNote {
  /** Its number in the recording. */
  readonly index: number;
  readonly heard: Pick<HeardNote, 'onset' | 'end' | 'pitch' | 'curve'>;
  /** What it is written as: `E4`, `5` for its fret; empty where it is left out. */
  readonly name: string;
  readonly unsure: boolean;
  /** What is unsure of it, as the sign says it: `?`, `begin?`. */
  readonly sign: string;
}

/**
 * The names that stand beside notes: of those that are unsure or chosen always, with what is asked as far as there is room; of the others where it
 * stands on no other name. The row says it for the rest.
 */
export function namedNotes(
  notes: readonly DrawnNote[],
  chosen: number | null,
  x: (seconds: number) => number,
  y: (midi: number) => number,
): ReadonlyMap<number, string> {
  const placed = new Map<number, { from: number; to: number; y: number }>();
  const out = new Map<number, string>();
  /** Gives a note its name where that stands on no other, or else all the same. */
  const place = ({ index, heard }: DrawnNote, name: string, always: boolean) => {
    const from = x(heard.onset);
    const box = { from, to: from + NAME.letter * name.length, y: y(heard.pitch) };
    const isFree = [...placed].every(
      ([i, p]) =>
        i === index || p.to <= from || p.from >= box.to || Math.abs(p.y - box.y) >= NAME.high,
    );
    if (!isFree && !always) return;
    placed.set(index, box);
    out.set(index, name);
  };
  const isAsked = (n: DrawnNote) => n.unsure || n.index === chosen;
  const asked = notes.filter(isAsked);
  for (const n of asked) place(n, n.unsure ? `${n.name}?` : n.name, true);
  // What is asked is said where there is room.
  for (const n of asked) if (n.unsure) place(n, `${n.name} ${n.sign}`, false);
  for (const n of notes) if (!isAsked(n)) place(n, n.name, false);
  return out;
}

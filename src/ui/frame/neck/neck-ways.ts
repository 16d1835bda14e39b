import type { NeckMark } from '../../../core/neck/on-neck';
import type { OtherPlace } from '../../../core/neck/to-place';
import type { Place } from '../../../core/phrase/types';
import type { NeckPicture } from '../../../engrave/neck/picture';
import { ROW } from '../../../engrave/neck/plan';

/** Whether a place lies on the part of the neck that is drawn. */
export function isShown({ plan }: NeckPicture, p: Place): boolean {
  return p.fret >= plan.frets[0] && p.fret <= plan.frets[1];
}

/** The place a pointer is over or next to. */
export function nearest(
  picture: NeckPicture,
  places: readonly OtherPlace[],
  [x, y]: readonly [number, number],
): OtherPlace | null {
  let best: OtherPlace | null = null;
  let least: number = ROW;
  for (const p of places) {
    const far = Math.hypot(
      picture.plan.middle(p.fret) - x,
      picture.top + picture.plan.y(p.string) - y,
    );
    if (far < least) {
      least = far;
      best = p;
    }
  }
  return best;
}

/** The next string up or down on which the note can be played. */
export function nextPlace(
  places: readonly OtherPlace[],
  string: number,
  by: 1 | -1,
): OtherPlace | null {
  const way = places.filter((p) => p.phrase.ok && (p.string - string) * by > 0);
  return way.sort((a, b) => (a.string - b.string) * by)[0] ?? null;
}

/** The next mark in the direction of an arrow key, as the neck is seen; null for other keys. */
export function towards(picture: NeckPicture, from: NeckMark, key: string): NeckMark | null {
  const marks = picture.marks.map((m) => m.mark);
  if (key === 'Home') return marks[0] ?? null;
  if (key === 'End') return marks.at(-1) ?? null;
  const way = DIRECTIONS[key];
  if (way === undefined) return null;
  const [dx, dy] = way;
  const far = (m: NeckMark): number => {
    const x = picture.plan.middle(m.fret) - picture.plan.middle(from.fret);
    const y = (m.string - from.string) * ROW;
    const ahead = x * dx + y * dy;
    return ahead > 1 ? ahead + 3 * Math.abs(x * dy + y * dx) : Number.POSITIVE_INFINITY;
  };
  const reachable = marks.filter((m) => far(m) < Number.POSITIVE_INFINITY);
  return reachable.sort((a, b) => far(a) - far(b))[0] ?? null;
}

const DIRECTIONS: Readonly<Record<string, readonly [x: number, y: number]>> = {
  ArrowRight: [1, 0],
  ArrowLeft: [-1, 0],
  ArrowDown: [0, 1],
  ArrowUp: [0, -1],
};

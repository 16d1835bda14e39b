import type { NoteId } from '../phrase/types';
import { isUnderFingerOf, type Stop, takesFinger } from './hand';
import type { Fingering, FingeringProblem } from './problem';

/** Fretting fingers, 1 index to 4 little finger. */
export type Finger = 1 | 2 | 3 | 4;

/**
 * A proposal for the fretting hand (*common practice*): one finger a fret from the index finger up,
 * the lowest string first where several lie at one fret; in chords of three fingers and more the
 * index finger takes the lowest fret; a barre where fingers would not be enough. A note keeps the
 * finger it was struck with. Open, dead, touched, tapped and thumbed notes have none.
 * @returns by note id or grace key.
 */
export function proposeFingers(
  problem: FingeringProblem,
  fingering: Pick<Fingering, 'places' | 'handPositions'>,
): ReadonlyMap<NoteId, Finger> {
  const fingers = new Map<NoteId, Finger>();
  problem.moments.forEach((m, i) => {
    const stops = [...m.struck, ...m.held].map((k): Stop => {
      const note = problem.notes[k]!;
      return { note, ...fingering.places.get(note.id)! };
    });
    for (const [id, finger] of fingersAt(stops, fingering.handPositions[i]!))
      if (!fingers.has(id)) fingers.set(id, finger);
  });
  return fingers;
}

function fingersAt(stops: readonly Stop[], hand: number): readonly (readonly [NoteId, Finger])[] {
  const groups = groupsOf(stops);
  const lowest = groups[0]?.[0]?.fret ?? hand;
  const index = groups.length > 2 ? lowest : hand;
  let last = 0;
  return groups.flatMap((group, i) => {
    const leavesEnough = 4 - (groups.length - 1 - i);
    const wanted = Math.min(group[0]!.fret - index + 1, leavesEnough);
    last = Math.min(Math.max(last + 1, wanted), 4);
    return group.map((s) => [s.note.id, last as Finger] as const);
  });
}

/**
 * The stops under each finger, by fret, then from the lowest string up. Every stop has its own
 * finger while there are enough; then barres are laid, from the lowest fret on. Two stops side by
 * side at one fret are a barre anyway.
 */
function groupsOf(stops: readonly Stop[]): readonly (readonly Stop[])[] {
  const pressed = stops.filter(takesFinger);
  const frets = [...new Set(pressed.map((s) => s.fret))].sort((a, b) => a - b);
  let fingers = pressed.length;
  return frets.flatMap((fret) => {
    const here = pressed.filter((s) => s.fret === fret).sort((a, b) => a.string - b.string);
    const barre = fingers > 4 || (pressed.length === 2 && here.length === 2);
    const groups: Stop[][] = [];
    for (const s of here) {
      if (barre && isUnderFingerOf(stops, s)) groups.at(-1)!.push(s);
      else groups.push([s]);
    }
    fingers -= here.length - groups.length;
    return groups.reverse();
  });
}

import { useState } from 'react';
import {
  addPoint,
  isEnd,
  type PointStep,
  removePoint,
  stepPoint,
} from '../../../core/edit/commands/bend-curve';
import type { BendPoint } from '../../../core/phrase/types';
import { widestBend } from '../../../core/technique/bend-width';
import type { BendDraft } from './bend-shape-draft';
import type { BentNote } from './bend-shape-notes';
import { type BendPlan, type Hold, pointAt, type Spot, widthsOf } from './bend-shape-plan';
import { widthWords } from './bend-shape-words';

export type BendEdits = ReturnType<typeof useBendEdits>;

/**
 * What can be done to the drawn bend of a note, and the point that is chosen. Each either writes the
 * bend or says why it cannot; `focus` goes to what was made or is left.
 */
export function useBendEdits(
  draft: BendDraft,
  { note }: BentNote,
  plan: BendPlan,
  focus: (hold: Hold) => void,
) {
  const most = widestBend(note.string);
  const { curve, semitones } = draft.shown;
  const [chosen, setChosen] = useState<number | null>(null);
  const point = chosen !== null && chosen < curve.length ? chosen : null;

  const add = (added: ReturnType<typeof addPoint>) => {
    if (added === null) draft.refuse('there is no room for another point there');
    else if (draft.write({ curve: added.curve, semitones })) {
      setChosen(added.index);
      focus(added.index);
    }
  };
  const addHere = () => {
    // After the chosen point, else before it, else where there is most room.
    const gaps = [...(point === null ? [] : [point, point - 1]), widestGap(curve)];
    const tried = gaps.map((after) => {
      const middle = ((curve[after]?.at ?? 0) + (curve[after + 1]?.at ?? 0)) / 2;
      return addPoint(curve, after, middle, semitones);
    });
    add(tried.find((t) => t !== null) ?? null);
  };
  const tapLine = (spot: Spot) => {
    const { at } = pointAt(plan, spot, semitones);
    const after = curve.findIndex((p) => p.at >= at) - 1;
    add(addPoint(curve, after, at, semitones));
  };
  const takeOut = (index: number | null) => {
    const next = index === null ? null : removePoint(curve, index);
    if (index === null) draft.refuse('no point is chosen');
    else if (next === null) draft.refuse('a bend cannot do without its first and last point');
    else if (draft.write({ curve: next, semitones })) {
      setChosen(index - 1);
      focus(index - 1);
    }
  };
  const step = (index: number, way: PointStep) => {
    const next = stepPoint(curve, index, way, semitones);
    if (next !== null) draft.write({ curve: next, semitones });
    else draft.refuse(noStep(way, isEnd(curve, index)));
  };
  const widen = (way: PointStep) => {
    const widths = widthsOf(most);
    const to = widths[widths.indexOf(semitones) + (way === 'up' ? 1 : -1)];
    if (to !== undefined) draft.write({ curve, semitones: to });
    else if (way === 'down') draft.refuse('a curl is the narrowest bend');
    else draft.refuse(`string ${note.string} is bent by ${widthWords(most)} at most`);
  };
  return { point, choose: setChosen, addHere, tapLine, takeOut, step, widen };
}

/** The point after which there is most room. */
function widestGap(curve: readonly BendPoint[]): number {
  let widest = 0;
  const room = (i: number) => (curve[i + 1]?.at ?? 0) - (curve[i]?.at ?? 0);
  for (let i = 1; i < curve.length - 1; i++) if (room(i) > room(widest)) widest = i;
  return widest;
}

function noStep(way: PointStep, end: boolean): string {
  if (way === 'up') return 'it is at the target already';
  if (way === 'down') return 'it is not bent there already';
  if (end) return 'the first and the last point stay at the ends of the note';
  return `there is no place ${way} before the next point`;
}

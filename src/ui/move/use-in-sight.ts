import { useEffect, useRef } from 'react';
import type { MoveForm } from './move-form';

/** Frames within which a result is drawn; a slower one is left where it is. */
const FRAMES = 60;

/**
 * Brings the first line of a result into sight when another destination is chosen, and on arrival at
 * one: before and after are what the choice is made by. No further than is needed, and not while
 * somebody types.
 */
export function useInSight(form: MoveForm, moved: boolean): void {
  const goal = form.goal === null ? '' : `${form.goal.kind} ${form.goal.text}`;
  const seen = useRef('');
  useEffect(() => {
    if (!moved || goal === seen.current) return;
    seen.current = goal;
    if (document.activeElement?.matches('input[type="text"]') === true) return;
    let left = FRAMES;
    let frame = requestAnimationFrame(function look() {
      const line = document.querySelector('.move-page .pair-line');
      if (line === null) {
        if (left-- > 0) frame = requestAnimationFrame(look);
        return;
      }
      const { top, bottom } = line.getBoundingClientRect();
      const below = bottom + EDGE - innerHeight;
      if (below > 0) scrollBy(0, Math.min(below, Math.max(0, top - EDGE)));
    });
    return () => cancelAnimationFrame(frame);
  }, [goal, moved]);
}

/** Room that is left to the edge of the window, in px. */
const EDGE = 8;

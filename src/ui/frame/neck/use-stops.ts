import { type KeyboardEvent, useEffect, useMemo, useRef, useState } from 'react';
import { keyOf, type NeckMark } from '../../../core/neck/on-neck';
import { nextPlace, towards } from './neck-ways';
import type { Board } from './use-drag';

/** Where Tab stops on a neck, and what the arrow keys do from there. */
export function useStops({ picture, board, placesFor, onMove }: Board) {
  const { marks } = picture;
  const [gone, setGone] = useState<string | null>(null);
  const keys = useMemo(() => new Set(marks.map((m) => keyOf(m.mark))), [marks]);
  const stop = gone !== null && keys.has(gone) ? gone : marks[0] ? keyOf(marks[0].mark) : null;
  const focusOn = (key: string) => {
    setGone(key);
    board.current?.querySelector<HTMLElement>(`[data-place="${key}"]`)?.focus();
  };
  // A note that was moved by key takes the focus along.
  const follow = useRef<string | null>(null);
  useEffect(() => {
    if (follow.current === null || !keys.has(follow.current)) return;
    board.current?.querySelector<HTMLElement>(`[data-place="${follow.current}"]`)?.focus();
    follow.current = null;
  }, [keys, board]);
  const onKeyDown = (e: KeyboardEvent, mark: NeckMark) => {
    const up = e.key === 'ArrowUp';
    if (e.altKey && (up || e.key === 'ArrowDown')) {
      if (placesFor === undefined || onMove === undefined) return;
      e.preventDefault();
      const to = nextPlace(placesFor(mark), mark.string, up ? -1 : 1);
      if (to === null) return;
      follow.current = keyOf(to);
      setGone(keyOf(to));
      onMove(to);
      return;
    }
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const to = towards(picture, mark, e.key);
    if (to === null) return;
    e.preventDefault();
    focusOn(keyOf(to));
  };
  return { stop, goTo: setGone, onKeyDown };
}

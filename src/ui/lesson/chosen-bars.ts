import { type RefObject, useEffect, useRef } from 'react';
import {
  type BarRange,
  barAtPercent,
  chosenIn,
  lineBarsIn,
  pressed,
} from '../../core/lesson/line-bars';

/** Bars of one sheet of an item that are heard alone. */
export interface ChosenBars {
  /** Which of the item's sheets of music, from 0. */
  readonly sheet: number;
  /** All of it where it is null. */
  readonly range: BarRange | null;
}

/**
 * Chooses bars by pressing and dragging over the lines of an item, and marks those that are chosen. The lines
 * are text of the engraver, which is not drawn by React.
 */
export function useBarsByPointer(
  chosen: ChosenBars,
  onChoose: (chosen: ChosenBars) => void,
): RefObject<HTMLDivElement | null> {
  const ref = useRef<HTMLDivElement>(null);
  const latest = useRef({ chosen, onChoose });
  useEffect(() => {
    latest.current = { chosen, onChoose };
    if (ref.current !== null) mark(ref.current, chosen);
  });
  useEffect(() => {
    const view = ref.current;
    if (view === null) return;
    let from: number | null = null;
    let at: HTMLElement | null = null;
    const lineOf = (e: Event) =>
      e.target instanceof Element ? e.target.closest<HTMLElement>('.line') : null;
    const drawn = (e: PointerEvent): ChosenBars | null => {
      const to = at === null ? null : barUnder(at, e);
      if (at === null || from === null || to === null) return null;
      const sheet = sheetOf(view, at);
      const { chosen: before } = latest.current;
      return { sheet, range: pressed(from, to, before.sheet === sheet ? before.range : null) };
    };
    const down = (e: PointerEvent) => {
      at = e.button === 0 && e.isPrimary ? lineOf(e) : null;
      if (at === null || severalBars(at) === false) return;
      at.setPointerCapture(e.pointerId);
      from = barUnder(at, e);
    };
    const move = (e: PointerEvent) => {
      const now = drawn(e);
      if (now !== null && at !== null && barUnder(at, e) !== from) mark(view, now);
    };
    const up = (e: PointerEvent) => {
      const now = drawn(e);
      from = null;
      if (now !== null) latest.current.onChoose(now);
    };
    // A finger that pushes the page up or down chooses nothing: it is called off.
    const off = () => {
      from = null;
      mark(view, latest.current.chosen);
    };
    view.addEventListener('pointerdown', down);
    view.addEventListener('pointermove', move);
    view.addEventListener('pointerup', up);
    view.addEventListener('pointercancel', off);
    return () => {
      view.removeEventListener('pointerdown', down);
      view.removeEventListener('pointermove', move);
      view.removeEventListener('pointerup', up);
      view.removeEventListener('pointercancel', off);
    };
  }, []);
  return ref;
}

const sheetsIn = (view: HTMLElement) => [...view.querySelectorAll<HTMLElement>('.music')];

const sheetOf = (view: HTMLElement, line: HTMLElement) =>
  sheetsIn(view).findIndex((m) => m.contains(line));

const linesIn = (music: Element) => [...music.querySelectorAll<HTMLElement>('.line')];

function severalBars(line: HTMLElement): boolean {
  const music = line.closest('.music');
  const lines = music === null ? [] : linesIn(music);
  return lines.flatMap((l) => lineBarsIn(l.dataset.bars ?? '')).length > 1;
}

/** Of the line that is under the pointer, where it is of the same music as the one that was pressed. */
function barUnder(pressedAt: HTMLElement, e: PointerEvent): number | null {
  const under = document.elementFromPoint(e.clientX, e.clientY)?.closest<HTMLElement>('.line');
  const music = pressedAt.closest('.music');
  const line = under && music?.contains(under) ? under : pressedAt;
  const { left } = line.getBoundingClientRect();
  // On a phone the music is wider than its line.
  const width = line.querySelector('svg')?.getBoundingClientRect().width ?? 1;
  return barAtPercent(lineBarsIn(line.dataset.bars ?? ''), (100 * (e.clientX - left)) / width);
}

function mark(view: HTMLElement, { sheet, range }: ChosenBars): void {
  for (const old of view.querySelectorAll('.chosen-bars')) old.remove();
  const music = range === null ? undefined : sheetsIn(view)[sheet];
  if (range === null || music === undefined) return;
  for (const line of linesIn(music)) {
    const at = chosenIn(lineBarsIn(line.dataset.bars ?? ''), range);
    if (at === null) continue;
    const { width } = line.querySelector('svg')!.getBoundingClientRect();
    const shade = document.createElement('i');
    shade.className = 'chosen-bars';
    shade.setAttribute('aria-hidden', 'true');
    shade.style.left = `${(at.left * width) / 100}px`;
    shade.style.width = `${(at.width * width) / 100}px`;
    line.append(shade);
  }
}

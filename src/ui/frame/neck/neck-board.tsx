import {
  type KeyboardEvent,
  type PointerEvent,
  use,
  useEffect,
  useMemo,
  useRef,
  useState,
  useSyncExternalStore,
} from 'react';
import { keyOf, type NeckMark } from '../../../core/neck/on-neck';
import type { OtherPlace } from '../../../core/neck/to-place';
import type { NeckPicture } from '../../../engrave/neck/picture';
import { ROW } from '../../../engrave/neck/plan';
import { Sounding } from '../../score/sounding';
import { System } from '../../score/system';
import './neck-board.css';
import { isShown, nearest, nextPlace, towards } from './neck-ways';

interface NeckBoardProps {
  readonly picture: NeckPicture;
  /** What the places are called together. */
  readonly label: string;
  /** A place in words. */
  readonly nameOf: (mark: NeckMark) => string;
  /** The place that is chosen, by its key. */
  readonly chosen: string | null;
  readonly onChoose: (mark: NeckMark) => void;
  /** Where else a mark can go; nothing can be moved when absent. */
  readonly placesFor?: (mark: NeckMark) => readonly OtherPlace[];
  readonly onMove?: (to: OtherPlace) => void;
}

/** Px per unit of the drawing, at the usual size of text: a string's row is then a touch target high. */
const SCALE = 1.25;
/** A pointer that moves less has not dragged; px. */
const STILL = 6;

interface Drag {
  readonly mark: NeckMark;
  readonly places: readonly OtherPlace[];
  readonly from: readonly [number, number];
  readonly at: readonly [number, number];
  readonly moved: boolean;
}

/**
 * An engraved neck whose places can be gone to, heard and moved. One stop for Tab, arrow keys inside;
 * Alt with an arrow up or down puts a note on another string.
 */
export function NeckBoard(props: NeckBoardProps) {
  const { picture, label, nameOf, chosen, onChoose, placesFor, onMove } = props;
  const { width, height, marks } = picture;
  const board = useRef<HTMLDivElement>(null);
  const [gone, setGone] = useState<string | null>(null);
  const [drag, setDrawn] = useState<Drag | null>(null);
  // A quick finger is done before the picture is drawn again: what it does goes by this.
  const held = useRef<Drag | null>(null);
  const setDrag = (next: Drag | null) => {
    held.current = next;
    setDrawn(next);
  };
  const keys = useMemo(() => new Set(marks.map((m) => keyOf(m.mark))), [marks]);
  const stop = gone !== null && keys.has(gone) ? gone : marks[0] ? keyOf(marks[0].mark) : null;
  const source = use(Sounding);
  const sounding = useSyncExternalStore(source.subscribe, source.now);
  const share = (part: number, whole: number) => `${(100 * part) / whole}%`;
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
  }, [keys]);
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
  const inBoard = (e: PointerEvent): readonly [number, number] => {
    const box = board.current!.getBoundingClientRect();
    return [
      ((e.clientX - box.left) * width) / box.width,
      ((e.clientY - box.top) * height) / box.height,
    ];
  };
  const onPointerDown = (e: PointerEvent<HTMLElement>, mark: NeckMark) => {
    if (placesFor === undefined || e.button !== 0) return;
    const from = inBoard(e);
    setDrag({ mark, places: [], from, at: from, moved: false });
  };
  const onPointerMove = (e: PointerEvent<HTMLElement>) => {
    const drag = held.current;
    if (drag === null) return;
    if (drag.moved) scrollAtEdge(board.current!.parentElement!, e.clientX);
    const at = inBoard(e);
    if (!drag.moved) {
      const px = board.current!.getBoundingClientRect().width / width;
      if (Math.hypot(at[0] - drag.from[0], at[1] - drag.from[1]) * px < STILL) return;
      e.currentTarget.setPointerCapture(e.pointerId);
      const places = (placesFor?.(drag.mark) ?? []).filter((p) => isShown(picture, p));
      setDrag({ ...drag, places, at, moved: true });
    } else setDrag({ ...drag, at });
  };
  const onPointerUp = () => {
    const drag = held.current;
    if (drag === null) return;
    setDrag(null);
    if (!drag.moved) return;
    const to = nearest(picture, drag.places, drag.at);
    // After the touch has ended: the mark goes, and a browser loses a tap that follows on one that is gone.
    if (to !== null) setTimeout(() => onMove?.(to));
  };
  const target = drag?.moved ? nearest(picture, drag.places, drag.at) : null;
  return (
    <div className="neck-room">
      {/* biome-ignore lint/a11y/useSemanticElements: a set of fields is laid out in its own way. */}
      <div
        className="neck-picture"
        ref={board}
        role="group"
        aria-label={label}
        style={{ width: `${(width * SCALE) / 16}rem` }}
      >
        <div aria-hidden="true">
          <System svg={picture.svg} />
        </div>
        {drag?.moved
          ? drag.places.map((p) => (
              <span
                key={keyOf(p)}
                className="neck-drop"
                data-target={target === p}
                data-refused={!p.phrase.ok}
                style={{
                  left: share(picture.plan.middle(p.fret), width),
                  top: share(picture.top + picture.plan.y(p.string), height),
                }}
              />
            ))
          : null}
        {marks.map(({ mark, box }) => {
          const key = keyOf(mark);
          const dragged = drag?.moved === true && drag.mark === mark;
          return (
            <button
              key={key}
              type="button"
              className="neck-place"
              data-place={key}
              data-sounding={mark.ids.some((id) => sounding.has(id))}
              data-dragged={dragged}
              aria-pressed={chosen === key}
              aria-label={nameOf(mark)}
              tabIndex={stop === key ? 0 : -1}
              style={{
                left: share(box.x0 - 3, width),
                top: share((box.y0 + box.y1 - ROW) / 2 + 2, height),
                width: share(box.x1 - box.x0 + 6, width),
                height: share(ROW - 4, height),
                ...(dragged
                  ? {
                      translate: `${((drag.at[0] - drag.from[0]) * SCALE) / 16}rem ${((drag.at[1] - drag.from[1]) * SCALE) / 16}rem`,
                    }
                  : {}),
              }}
              onClick={() => {
                setGone(key);
                onChoose(mark);
              }}
              onKeyDown={(e) => onKeyDown(e, mark)}
              onPointerDown={(e) => onPointerDown(e, mark)}
              onPointerMove={onPointerMove}
              onPointerUp={onPointerUp}
              onPointerCancel={() => setDrag(null)}
            />
          );
        })}
      </div>
    </div>
  );
}

/** So near the edge of a room that is scrolled, in px, a dragged note takes the neck along by as much. */
const EDGE = 36;

function scrollAtEdge(room: HTMLElement, x: number): void {
  const { left, right } = room.getBoundingClientRect();
  if (x < left + EDGE) room.scrollLeft -= EDGE / 2;
  else if (x > right - EDGE) room.scrollLeft += EDGE / 2;
}

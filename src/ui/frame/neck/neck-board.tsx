import { use, useRef, useSyncExternalStore } from 'react';
import { keyOf, type NeckMark } from '../../../core/neck/on-neck';
import type { OtherPlace } from '../../../core/neck/to-place';
import type { NeckPicture } from '../../../engrave/neck/picture';
import { ROW } from '../../../engrave/neck/plan';
import { Sounding } from '../../score/sounding';
import { System } from '../../score/system';
import './neck-board.css';
import { useDrag } from './use-drag';
import { useStops } from './use-stops';

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

const share = (part: number, whole: number) => `${(100 * part) / whole}%`;

/**
 * An engraved neck whose places can be gone to, heard and moved. One stop for Tab, arrow keys inside;
 * Alt with an arrow up or down puts a note on another string.
 */
export function NeckBoard(props: NeckBoardProps) {
  const { picture, label, nameOf, chosen, onChoose, placesFor, onMove } = props;
  const { width, height, marks } = picture;
  const board = useRef<HTMLDivElement>(null);
  const { drag, target, ...dragging } = useDrag({ picture, board, placesFor, onMove });
  const { stop, goTo, onKeyDown } = useStops({ picture, board, placesFor, onMove });
  const source = use(Sounding);
  const sounding = useSyncExternalStore(source.subscribe, source.now);
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
        {drag?.moved ? <Drops picture={picture} places={drag.places} target={target} /> : null}
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
                goTo(key);
                onChoose(mark);
              }}
              onKeyDown={(e) => onKeyDown(e, mark)}
              onPointerDown={(e) => dragging.onPointerDown(e, mark)}
              onPointerMove={dragging.onPointerMove}
              onPointerUp={dragging.onPointerUp}
              onPointerCancel={dragging.onPointerCancel}
            />
          );
        })}
      </div>
    </div>
  );
}

/** Where a dragged note can go. */
function Drops(props: {
  readonly picture: NeckPicture;
  readonly places: readonly OtherPlace[];
  readonly target: OtherPlace | null;
}) {
  const { picture, places, target } = props;
  const { plan, top, width, height } = picture;
  return places.map((p) => (
    <span
      key={keyOf(p)}
      className="neck-drop"
      data-target={target === p}
      data-refused={!p.phrase.ok}
      style={{
        left: share(plan.middle(p.fret), width),
        top: share(top + plan.y(p.string), height),
      }}
    />
  ));
}

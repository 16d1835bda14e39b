import { type KeyboardEvent, memo, useCallback, useMemo, useRef, useState } from 'react';
import type { Instrument, Place } from '../../../core/phrase/types';
import { noteName } from '../../shared/words';
import { FEET, HEAD, type NeckPlan, rem, TOUCH } from './neck-geometry';
import { keyOf, type Mark } from './neck-notes';

interface NeckGridProps {
  readonly plan: NeckPlan;
  readonly instrument: Instrument;
  readonly names: readonly (readonly string[])[];
  readonly marks: readonly Mark[];
  /** The place that is tabbed to, until somebody has gone to another. */
  readonly start: Place;
  /** @param pointed With a finger or a mouse, not by key. */
  readonly onWrite: (place: Place, pointed: boolean) => void;
}

/** Every place of the neck as a button, over the drawing; one stop for Tab, arrow keys inside. */
export const NeckGrid = memo(function NeckGrid(props: NeckGridProps) {
  const { plan, instrument, names, marks, start, onWrite } = props;
  const grid = useRef<HTMLDivElement>(null);
  const [gone, setGone] = useState<Place | null>(null);
  const last = plan.columns.length - 1;
  const here = inside(gone ?? start, plan.strings, last);
  const said = useMemo(
    () => new Map(marks.map((m) => [keyOf(m), m.now ? ', played here' : ', in this bar'])),
    [marks],
  );
  const tap = useCallback(
    (string: number, fret: number, pointed: boolean) => {
      setGone(pointed ? null : { string, fret });
      onWrite({ string, fret }, pointed);
    },
    [onWrite],
  );
  const onKeyDown = (e: KeyboardEvent) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const to = goTo(e.key, here, plan.mirrored, last);
    if (to === null) return;
    e.preventDefault();
    const place = inside(to, plan.strings, last);
    setGone(place);
    grid.current?.querySelector<HTMLElement>(`[data-place="${keyOf(place)}"]`)?.focus();
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: a table cannot lie over a drawing.
    <div
      ref={grid}
      className="neck-grid"
      role="grid"
      aria-label="Places on the neck"
      onKeyDown={onKeyDown}
      style={{ paddingTop: rem(HEAD), paddingBottom: rem(FEET) }}
    >
      {names.map((row, i) => {
        const string = i + 1;
        const open = instrument.tuning[i]!;
        return (
          // biome-ignore lint/a11y/useSemanticElements: as above.
          // biome-ignore lint/a11y/useFocusableInteractive: the places in it are.
          <div key={string} className="neck-row" role="row" style={{ height: rem(plan.row) }}>
            {/* biome-ignore lint/a11y/useSemanticElements: as above. */}
            {/* biome-ignore lint/a11y/useFocusableInteractive: it is read with the places. */}
            <span className="neck-name" role="rowheader" aria-label={`string ${string}`}>
              <span className="neck-name-number">{string}</span> {noteName(open)}
            </span>
            {row.map((name, fret) => (
              <PlaceButton
                // biome-ignore lint/suspicious/noArrayIndexKey: a fret is its number.
                key={fret}
                string={string}
                fret={fret}
                width={plan.columns[fret]?.width ?? TOUCH}
                name={name + (said.get(`${string}/${fret}`) ?? '')}
                stop={here.string === string && here.fret === fret}
                onTap={tap}
              />
            ))}
          </div>
        );
      })}
    </div>
  );
});

interface PlaceButtonProps extends Place {
  readonly width: number;
  readonly name: string;
  /** Tab stops here. */
  readonly stop: boolean;
  readonly onTap: (string: number, fret: number, pointed: boolean) => void;
}

const PlaceButton = memo(function PlaceButton(props: PlaceButtonProps) {
  const { string, fret, width, name, stop, onTap } = props;
  return (
    // biome-ignore lint/a11y/useSemanticElements: as above.
    // biome-ignore lint/a11y/useFocusableInteractive: the button in it is.
    <span role="gridcell" style={{ width: rem(width) }}>
      <button
        type="button"
        data-place={keyOf({ string, fret })}
        aria-label={name}
        tabIndex={stop ? 0 : -1}
        // A click by key has no count.
        onClick={(e) => onTap(string, fret, e.detail > 0)}
      />
    </span>
  );
});

function inside({ string, fret }: Place, strings: number, last: number): Place {
  return {
    string: Math.max(1, Math.min(string, strings)),
    fret: Math.max(0, Math.min(fret, last)),
  };
}

/** Where a key goes, as the neck is seen; null for other keys. */
function goTo(key: string, { string, fret }: Place, mirrored: boolean, last: number): Place | null {
  const right = mirrored ? -1 : 1;
  switch (key) {
    case 'ArrowRight':
      return { string, fret: fret + right };
    case 'ArrowLeft':
      return { string, fret: fret - right };
    case 'ArrowUp':
      return { string: string - 1, fret };
    case 'ArrowDown':
      return { string: string + 1, fret };
    case 'Home':
      return { string, fret: mirrored ? last : 0 };
    case 'End':
      return { string, fret: mirrored ? 0 : last };
    default:
      return null;
  }
}

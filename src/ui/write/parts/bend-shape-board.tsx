import { type KeyboardEvent, useEffect, useMemo, useRef, useState } from 'react';
import {
  addPoint,
  isEnd,
  type PointStep,
  removePoint,
  shapeOfEnds,
  stepPoint,
} from '../../../core/edit/commands/bend-curve';
import { SHAPE_NAMES } from '../../../core/edit/commands/bends';
import { type BendPoint, CURL_SEMITONES } from '../../../core/phrase/types';
import { widestBend } from '../../../core/technique/bend-width';
import type { PartProps } from '../part-props';
import { type Drawn, useBendDraft } from './bend-shape-draft';
import { BendCurve, BendGrid } from './bend-shape-drawing';
import { type BentNote, beatMarks, heightNames } from './bend-shape-notes';
import {
  type Hold,
  heightY,
  planBend,
  pointAt,
  type Spot,
  spotOf,
  widthsOf,
} from './bend-shape-plan';
import { useBendPointer } from './bend-shape-pointer';
import { pointWords, targetWords, widthWords } from './bend-shape-words';
import { rem } from './neck-geometry';

interface BendBoardProps extends Pick<PartProps, 'writer'> {
  readonly bent: BentNote;
}

const STEPS: Readonly<Record<string, PointStep>> = {
  ArrowLeft: 'sooner',
  ArrowRight: 'later',
  ArrowUp: 'up',
  ArrowDown: 'down',
};

/**
 * The bend of one note, to be drawn: time to the right, semitones upwards. Every point and the
 * target's line can be dragged, and is a slider for keys. Somebody who drags goes on drawing, so the
 * focus stays with what was dragged.
 */
export function BendBoard({ writer, bent }: BendBoardProps) {
  const { note, event } = bent;
  const { phrase } = writer.state;
  const most = widestBend(note.string);
  const plan = useMemo(() => planBend(most), [most]);
  const { names, over } = heightNames(phrase, bent, most);
  const beats = useMemo(() => beatMarks(phrase, event), [phrase, event]);
  const draft = useBendDraft(writer, bent);
  const { curve, semitones } = draft.shown;
  const [chosen, setChosen] = useState<number | null>(null);
  const board = useRef<HTMLDivElement>(null);
  const focus = useFocus(board);
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
  const onKeyDown = (e: KeyboardEvent, hold: Hold) => {
    if (e.ctrlKey || e.metaKey || e.altKey || e.shiftKey) return;
    const way = STEPS[e.key];
    if (way !== undefined && hold !== 'target') step(hold, way);
    else if (way === 'up' || way === 'down') widen(way);
    else if (e.key === 'Delete' && hold !== 'target') takeOut(hold);
    else return;
    e.preventDefault();
  };
  const { held, handlers } = useBendPointer({
    plan,
    draft,
    onHold: (hold) => {
      if (hold !== 'target') setChosen(hold);
      focus(hold);
    },
    onTapLine: tapLine,
  });
  const fret = note.fret === 0 ? 'open' : `fret ${note.fret}`;
  return (
    <div className="bend-shape">
      <h2>
        String {note.string}, {fret}
      </h2>
      {/* biome-ignore lint/a11y/useSemanticElements: handles over a drawing are no form. */}
      <div
        ref={board}
        className="bend-board"
        role="group"
        aria-label={`Bend on string ${note.string}, ${fret}`}
        style={{ width: rem(plan.width), aspectRatio: `${plan.width} / ${plan.height}` }}
        {...handlers}
      >
        <svg viewBox={`0 0 ${plan.width} ${plan.height}`} aria-hidden="true">
          <BendGrid plan={plan} beats={beats} />
          <BendCurve
            plan={plan}
            names={names}
            curve={curve}
            semitones={semitones}
            chosen={point}
            held={held}
          />
        </svg>
        <div
          className="bend-hold bend-width"
          data-hold="target"
          role="slider"
          tabIndex={0}
          aria-label="Width of the bend"
          aria-orientation="vertical"
          aria-valuemin={CURL_SEMITONES}
          aria-valuemax={most}
          aria-valuenow={semitones}
          aria-valuetext={targetWords(semitones, names)}
          style={{ top: percent(heightY(plan, semitones), plan.height) }}
          onKeyDown={(e) => onKeyDown(e, 'target')}
        />
        {curve.map((p, i) => {
          const spot = spotOf(plan, p, semitones);
          return (
            <div
              // biome-ignore lint/suspicious/noArrayIndexKey: a point is its number.
              key={i}
              className="bend-hold bend-handle"
              data-hold={i}
              role="slider"
              tabIndex={0}
              aria-label={`Point ${i + 1} of ${curve.length}`}
              aria-valuemin={0}
              aria-valuemax={100}
              aria-valuenow={p.at}
              aria-valuetext={pointWords(p, semitones, names)}
              style={{ left: percent(spot.x, plan.width), top: percent(spot.y, plan.height) }}
              onFocus={() => setChosen(i)}
              onKeyDown={(e) => onKeyDown(e, i)}
            />
          );
        })}
      </div>
      <p className="bend-words">{summary(draft.shown, names, over)}</p>
      <p className="bend-buttons">
        <button type="button" onClick={addHere}>
          Add a point
        </button>
        <button
          type="button"
          aria-disabled={point === null || isEnd(curve, point)}
          onClick={() => takeOut(point)}
        >
          Take the point out
        </button>
      </p>
      <p
        role="status"
        aria-atomic="true"
        className={draft.said === '' ? 'bend-said' : 'bend-said refused'}
      >
        {draft.said}
      </p>
    </div>
  );
}

/** `♭7 → R over A7: bent up and released, a whole tone`. */
function summary({ curve, semitones }: Drawn, names: readonly string[], over: string): string {
  const shape = shapeOfEnds(curve);
  const how = shape === null ? '' : SHAPE_NAMES[shape];
  if (semitones === CURL_SEMITONES) return `${names[0]} over ${over}: curled up a quarter tone`;
  return `${names[0]} → ${names[semitones]} over ${over}: ${how}, ${widthWords(semitones)}`;
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

function percent(part: number, whole: number): string {
  return `${(100 * part) / whole}%`;
}

/** Puts the focus on a handle, once it is there. */
function useFocus(board: { readonly current: HTMLElement | null }): (hold: Hold) => void {
  const [wanted, setWanted] = useState<{ readonly hold: Hold } | null>(null);
  useEffect(() => {
    if (wanted === null) return;
    board.current
      ?.querySelector<HTMLElement>(`[data-hold="${wanted.hold}"]`)
      ?.focus({ preventScroll: true });
  }, [board, wanted]);
  return (hold) => setWanted({ hold });
}

import { type KeyboardEvent, useEffect, useMemo, useRef, useState } from 'react';
import { isEnd, type PointStep, shapeOfEnds } from '../../../core/edit/commands/bend-curve';
import { SHAPE_NAMES } from '../../../core/edit/commands/bends';
import { CURL_SEMITONES } from '../../../core/phrase/types';
import { widestBend } from '../../../core/technique/bend-width';
import type { PartProps } from '../part-props';
import { type Drawn, useBendDraft } from './bend-shape-draft';
import { BendCurve, BendGrid } from './bend-shape-drawing';
import { type BentNote, beatMarks, heightNames } from './bend-shape-notes';
import { type BendPlan, type Hold, heightY, planBend, spotOf } from './bend-shape-plan';
import { useBendPointer } from './bend-shape-pointer';
import { pointWords, targetWords, widthWords } from './bend-shape-words';
import { rem } from './neck-geometry';
import { type BendEdits, useBendEdits } from './use-bend-edits';

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
  const board = useRef<HTMLDivElement>(null);
  const focus = useFocus(board);
  const edits = useBendEdits(draft, bent, plan, focus);
  const { point, choose, takeOut } = edits;
  const { held, handlers } = useBendPointer({
    plan,
    draft,
    onHold: (hold) => {
      if (hold !== 'target') choose(hold);
      focus(hold);
    },
    onTapLine: edits.tapLine,
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
        <Handles plan={plan} names={names} most={most} drawn={draft.shown} edits={edits} />
      </div>
      <p className="bend-words">{summary(draft.shown, names, over)}</p>
      <p className="bend-buttons">
        <button type="button" onClick={edits.addHere}>
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

interface HandlesProps {
  readonly plan: BendPlan;
  /** The degree of every semitone above the fretted note. */
  readonly names: readonly string[];
  /** The widest bend of the string, in semitones. */
  readonly most: number;
  readonly drawn: Drawn;
  readonly edits: BendEdits;
}

/** The sliders over the drawing: the target's line, and every point. */
function Handles({ plan, names, most, drawn, edits }: HandlesProps) {
  const { curve, semitones } = drawn;
  const onKeyDown = (e: KeyboardEvent, hold: Hold) => {
    if (e.ctrlKey || e.metaKey || e.altKey || e.shiftKey) return;
    const way = STEPS[e.key];
    if (way !== undefined && hold !== 'target') edits.step(hold, way);
    else if (way === 'up' || way === 'down') edits.widen(way);
    else if (e.key === 'Delete' && hold !== 'target') edits.takeOut(hold);
    else return;
    e.preventDefault();
  };
  return (
    <>
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
            onFocus={() => edits.choose(i)}
            onKeyDown={(e) => onKeyDown(e, i)}
          />
        );
      })}
    </>
  );
}

/** `♭7 → R over A7: bent up and released, a whole tone`. */
function summary({ curve, semitones }: Drawn, names: readonly string[], over: string): string {
  const shape = shapeOfEnds(curve);
  const how = shape === null ? '' : SHAPE_NAMES[shape];
  if (semitones === CURL_SEMITONES) return `${names[0]} over ${over}: curled up a quarter tone`;
  return `${names[0]} → ${names[semitones]} over ${over}: ${how}, ${widthWords(semitones)}`;
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

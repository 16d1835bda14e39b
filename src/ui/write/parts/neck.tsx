import { type RefObject, useCallback, useEffect, useId, useMemo, useState } from 'react';
import { go } from '../../../core/edit/commands/go';
import { writePlace } from '../../../core/edit/commands/point';
import { HAND_SPAN } from '../../../core/neck/handy-place';
import type { Place } from '../../../core/phrase/types';
import { analysisOf } from '../../score/analysis';
import { textScale, useWidth } from '../../score/use-width';
import type { PartProps } from '../part-props';
import './neck.css';
import { useLeftHanded } from '../../shared/use-left-handed';
import { useHeightTold } from '../use-height-told';
import { NeckDrawing, NeckHand, NeckMarks } from './neck-drawing';
import { type NeckPlan, planNeck, rem, TOUCH } from './neck-geometry';
import { NeckGrid } from './neck-grid';
import { barOnNeck, placeNames } from './neck-notes';

/**
 * The neck beneath the score: the notes of the moment with their degrees, the way through the rest
 * of the bar, and the hand. A tap on a place writes it. Open where there is room for it. The writer
 * may be a moment old: what is written is on the score first.
 */
export function Neck({ writer, onDone }: Pick<PartProps, 'writer' | 'onDone'>) {
  const [open, setOpen] = useState(() => matchMedia('(width >= 40rem)').matches);
  const board = useId();
  const ref = useHeightTold<HTMLElement>('--write-neck');
  return (
    <section className="neck" aria-label="Neck" ref={ref}>
      <button
        type="button"
        className="plain"
        aria-expanded={open}
        aria-controls={board}
        onClick={() => setOpen(!open)}
      >
        Neck
      </button>
      <div id={board} hidden={!open}>
        {open ? <Board writer={writer} onDone={onDone} /> : null}
      </div>
    </section>
  );
}

function Board({ writer, onDone }: Pick<PartProps, 'writer' | 'onDone'>) {
  const { state, run } = writer;
  const { instrument } = state.phrase;
  const { hand } = state.pen;
  const [leftHanded, setLeftHanded] = useLeftHanded();
  const [on, setOn] = useState(true);
  const [scroller, width] = useWidth<HTMLDivElement>();
  const plan = useMemo(() => {
    const mouse = matchMedia('(pointer: fine)').matches;
    const room = mouse && width !== null ? width / textScale() - TOUCH : null;
    return planNeck(instrument, leftHanded, room);
  }, [instrument, leftHanded, width]);
  const bar = useMemo(() => barOnNeck(state, analysisOf(state.phrase)), [state]);
  const names = placeNames(state);
  const { string } = state.selection.cursor;
  const start = useMemo(() => ({ string, fret: hand }), [string, hand]);
  useHandInView(scroller, plan, hand);
  const write = useCallback(
    (place: Place, pointed: boolean) => {
      run(writePlace, { ...place, on });
      // Whoever goes about by keys stays where they are.
      if (pointed) onDone();
    },
    [run, on, onDone],
  );
  return (
    <>
      <div className="neck-choices">
        <Order on={on} setOn={setOn} />
        {on ? null : (
          <button
            type="button"
            title="Go on to the next moment"
            onClick={() => {
              run(go, 'on');
              onDone();
            }}
          >
            Go on →
          </button>
        )}
        <label>
          <input
            type="checkbox"
            checked={leftHanded}
            onChange={(e) => setLeftHanded(e.target.checked)}
          />
          Left-handed
        </label>
        <span className="quiet">
          Hand at fret {hand}
          {instrument.capo > 0 ? `, counted from the capo at ${instrument.capo}` : ''}
        </span>
      </div>
      <div className="neck-scroll" ref={scroller}>
        <div className="neck-board" data-mirrored={leftHanded}>
          <svg
            className="neck-drawing"
            viewBox={`0 0 ${plan.width} ${plan.height}`}
            width={rem(plan.width)}
            height={rem(plan.height)}
            aria-hidden="true"
          >
            <NeckDrawing plan={plan} instrument={instrument} />
            <NeckHand plan={plan} hand={hand} />
            <NeckMarks plan={plan} bar={bar} />
          </svg>
          <NeckGrid
            plan={plan}
            instrument={instrument}
            names={names}
            marks={bar.marks}
            start={start}
            onWrite={write}
          />
        </div>
      </div>
    </>
  );
}

interface OrderProps {
  readonly on: boolean;
  readonly setOn: (on: boolean) => void;
}

/** Whether places come one after the other, or into one moment. */
function Order({ on, setOn }: OrderProps) {
  const name = useId();
  return (
    <fieldset>
      <legend>Places tapped are written</legend>
      <label>
        <input type="radio" name={name} checked={on} onChange={() => setOn(true)} />
        one after the other
      </label>
      <label>
        <input type="radio" name={name} checked={!on} onChange={() => setOn(false)} />
        together
      </label>
    </fieldset>
  );
}

/** Pushes the neck sideways where the hand would be out of sight. */
function useHandInView(scroller: RefObject<HTMLDivElement | null>, plan: NeckPlan, hand: number) {
  useEffect(() => {
    const box = scroller.current;
    const drawing = box?.querySelector('svg');
    const fingers = plan.columns.slice(hand, hand + HAND_SPAN);
    const index = fingers[0];
    if (box === null || !drawing || index === undefined) return;
    const shown = drawing.getBoundingClientRect();
    const px = shown.width / plan.width;
    const x = (at: number) => shown.left - box.getBoundingClientRect().left + at * px;
    const from = x(Math.min(...fingers.map((f) => f.x)));
    const to = x(Math.max(...fingers.map((f) => f.x + f.width)));
    // The names of the strings cover the edge where the nut is.
    const left = plan.mirrored ? 0 : TOUCH * px;
    const right = box.clientWidth - (plan.mirrored ? TOUCH * px : 0);
    if (from >= left && to <= right) return;
    // Where there is no room for the whole hand the index finger is seen, and what follows.
    if (to - from <= right - left) box.scrollLeft += (from + to - left - right) / 2;
    else box.scrollLeft += plan.mirrored ? to - right : from - left;
  }, [scroller, plan, hand]);
}

import { memo } from 'react';
import { HAND_SPAN } from '../../../core/neck/handy-place';
import type { Instrument, Place } from '../../../core/phrase/types';
import { HEAD, inlaysAt, type NeckPlan, stringY } from './neck-geometry';
import type { BarOnNeck } from './neck-notes';

interface DrawingProps {
  readonly plan: NeckPlan;
  readonly instrument: Instrument;
}

/** Nut or capo, wires, strings, inlays and the numbers of the frets. */
export const NeckDrawing = memo(function NeckDrawing({ plan, instrument }: DrawingProps) {
  const { wires, columns, strings, height, width, row } = plan;
  const top = HEAD;
  const bottom = HEAD + strings * row;
  const nut = wires[0]!;
  return (
    <g>
      {columns.map(({ middle }, fret) => {
        const inlays = inlaysAt(fret + instrument.capo);
        if (fret === 0 || inlays === 0) return null;
        const centre = (top + bottom) / 2;
        // Between strings, so that no string runs through them.
        const apart = strings % 2 === 0 ? row : row / 2;
        const ys = inlays === 2 ? [centre - apart, centre + apart] : [centre];
        return ys.map((y) => (
          <path
            key={`${middle} ${y}`}
            className="neck-inlay"
            d={`M${middle - 7} ${y}l7 -9l7 9l-7 9z`}
          />
        ));
      })}
      {wires.map((x, fret) =>
        fret === 0 ? null : (
          <line key={x} className="neck-wire" x1={x} x2={x} y1={top} y2={bottom} />
        ),
      )}
      {instrument.tuning.map((_, i) => (
        <line
          // biome-ignore lint/suspicious/noArrayIndexKey: a string is its number.
          key={i}
          className="neck-string"
          x1={0}
          x2={width}
          y1={stringY(plan, i + 1)}
          y2={stringY(plan, i + 1)}
          strokeWidth={1 + i * 0.35}
        />
      ))}
      {instrument.capo === 0 ? (
        <rect className="neck-nut" x={nut - 3} y={top} width={6} height={bottom - top} />
      ) : (
        <rect
          className="neck-capo"
          x={nut - 8}
          y={top - 4}
          width={14}
          height={bottom - top + 8}
          rx={5}
        />
      )}
      {columns.map(({ middle }, fret) => (
        <text key={middle} className="neck-number" x={middle} y={height - 9}>
          {fret === 0 ? (instrument.capo === 0 ? 'open' : 'capo') : fret}
        </text>
      ))}
    </g>
  );
});

interface HandProps {
  readonly plan: NeckPlan;
  readonly hand: number;
}

/** Where the hand lies: a finger's number over its fret, joined by a line. */
export const NeckHand = memo(function NeckHand({ plan, hand }: HandProps) {
  const fingers = plan.columns.slice(hand, hand + HAND_SPAN);
  const first = fingers[0];
  const last = fingers.at(-1);
  if (first === undefined || last === undefined) return null;
  return (
    <g className="neck-hand">
      <line x1={first.middle} x2={last.middle} y1={13} y2={13} />
      {fingers.map(({ middle }, i) => (
        <g key={middle}>
          <path d={`M${middle - 10} 2h20v16l-10 9l-10 -9z`} />
          <text x={middle} y={17}>
            {i + 1}
          </text>
        </g>
      ))}
    </g>
  );
});

interface MarksProps {
  readonly plan: NeckPlan;
  readonly bar: BarOnNeck;
}

/** The notes of the bar with their degrees: those of the moment filled, the others in outline. */
export const NeckMarks = memo(function NeckMarks({ plan, bar }: MarksProps) {
  const at = ({ string, fret }: Place) => {
    const column = plan.columns[fret];
    return column === undefined ? null : { x: column.middle, y: stringY(plan, string) };
  };
  const way = bar.way.map(at).filter((p) => p !== null);
  // Those of the moment lie on top.
  const marks = [...bar.marks].reverse();
  return (
    <g>
      <polyline className="neck-way" points={way.map((p) => `${p.x},${p.y}`).join(' ')} />
      {marks.map((m) => {
        const p = at(m);
        if (p === null) return null;
        const wide = Math.max(30, 12 + 9 * [...m.text].length);
        return (
          <g key={m.id} className={m.now ? 'neck-now' : 'neck-other'}>
            <rect
              x={p.x - wide / 2}
              y={p.y - (m.now ? 14 : 12)}
              width={wide}
              height={m.now ? 28 : 24}
              rx={m.now ? 3 : 12}
            />
            <text x={p.x} y={p.y + 5}>
              {m.text}
            </text>
          </g>
        );
      })}
    </g>
  );
});

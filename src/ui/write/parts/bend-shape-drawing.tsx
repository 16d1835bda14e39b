import { memo } from 'react';
import { BEND_PLACES } from '../../../core/edit/commands/bend-curve';
import type { BendPoint } from '../../../core/phrase/types';
import type { BeatMark } from './bend-shape-notes';
import { type BendPlan, type Hold, heightY, spotOf, timeX } from './bend-shape-plan';

interface GridProps {
  readonly plan: BendPlan;
  readonly beats: readonly BeatMark[];
}

/** Semitones across, beats upright, and along the foot the places where a point may stand. */
export const BendGrid = memo(function BendGrid({ plan, beats }: GridProps) {
  const { left, right, top, bottom } = plan;
  return (
    <g>
      {rows(plan).map((semitones) => (
        <line
          key={semitones}
          className="bend-row"
          x1={left}
          x2={right}
          y1={heightY(plan, semitones)}
          y2={heightY(plan, semitones)}
        />
      ))}
      {BEND_PLACES.map((at) => (
        <line
          key={at}
          className="bend-place"
          x1={timeX(plan, at)}
          x2={timeX(plan, at)}
          y1={bottom}
          y2={bottom + (at % 25 === 0 ? 10 : 5)}
        />
      ))}
      <text className="bend-soft" x={10} y={bottom + 30}>
        beats
      </text>
      {beats.map(({ at, text }) => (
        <g key={at}>
          <line
            className="bend-beat"
            x1={timeX(plan, at)}
            x2={timeX(plan, at)}
            y1={top - 10}
            y2={bottom}
          />
          <text className="bend-soft" x={timeX(plan, at)} y={bottom + 30} textAnchor="middle">
            {text}
          </text>
        </g>
      ))}
      <line className="bend-beat" x1={right} x2={right} y1={top - 10} y2={bottom} />
    </g>
  );
});

function rows({ most }: BendPlan): readonly number[] {
  return Array.from({ length: most + 1 }, (_, semitones) => semitones);
}

interface CurveProps {
  readonly plan: BendPlan;
  readonly names: readonly string[];
  readonly curve: readonly BendPoint[];
  readonly semitones: number;
  /** The point that the buttons are about. */
  readonly chosen: number | null;
  readonly held: Hold | null;
}

/** The degrees, the target's line, the curve and its points. */
export function BendCurve({ plan, names, curve, semitones, chosen, held }: CurveProps) {
  const spots = curve.map((p) => spotOf(plan, p, semitones));
  const line = spots.map(({ x, y }) => `${x},${y}`).join(' ');
  const { left, right, bottom } = plan;
  const target = heightY(plan, semitones);
  return (
    <g>
      <polygon className="bend-under" points={`${left},${bottom} ${line} ${right},${bottom}`} />
      {rows(plan).map((row) => {
        const meant = row === 0 || row === semitones;
        return (
          <text
            key={row}
            className={meant ? 'bend-degree' : 'bend-soft'}
            x={left - 14}
            y={heightY(plan, row) + 5}
            textAnchor="end"
          >
            {names[row]}
          </text>
        );
      })}
      <g className={held === 'target' ? 'bend-target bend-held' : 'bend-target'}>
        <line x1={left} x2={right} y1={target} y2={target} />
        <path d={`M12 ${target - 4}l6 -8l6 8zM12 ${target + 4}l6 8l6 -8z`} />
      </g>
      <polyline className="bend-line" points={line} />
      {spots.map(({ x, y }, i) => (
        <circle
          // biome-ignore lint/suspicious/noArrayIndexKey: a point is its number.
          key={i}
          className={i === chosen ? 'bend-point bend-chosen' : 'bend-point'}
          cx={x}
          cy={y}
          r={i === held ? 10 : 8}
        />
      ))}
    </g>
  );
}

import { memo } from 'react';
import { blockOf, voiceOf } from '../../../core/edit/select';
import type { EditState } from '../../../core/edit/state';
import type { NoteId } from '../../../core/phrase/types';
import type { EngravedSystem } from '../../../engrave/page/system';
import { rowOf, spaceOf, xOf } from './place';
import type { Warnings } from './warnings';

interface OverlayProps {
  readonly state: EditState;
  readonly line: EngravedSystem;
  /** This line holds the cursor. */
  readonly hasCursor: boolean;
}

/** What the writer sees over a line of music: where they are, what is chosen, what was just written. */
export function Overlay({ state, line, hasCursor }: OverlayProps) {
  const { hits, width, height } = line;
  const space = spaceOf(hits);
  return (
    <svg
      className="write-over"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      aria-hidden="true"
    >
      <ChosenBlock state={state} line={line} space={space} />
      <FreshNotes state={state} line={line} space={space} />
      {hasCursor ? <Cursor state={state} line={line} space={space} /> : null}
    </svg>
  );
}

/** The paper after the last bar is ruled on to the margin, for what is still to be written. */
export const Ruling = memo(function Ruling({ line }: { readonly line: EngravedSystem }) {
  const { hits, width, height } = line;
  const from = (hits.bars.at(-1)?.x1 ?? 0) + spaceOf(hits);
  const staff = rowOf(hits, 'staff');
  const lines = [
    ...(staff === null
      ? []
      : [0, 1, 2, 3, 4].map((i) => staff.y0 + ((staff.y1 - staff.y0) * i) / 4)),
    ...(rowOf(hits, 'tab')?.strings ?? []),
  ];
  if (from >= width - 1) return null;
  return (
    <svg
      className="write-over write-ruling"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      aria-hidden="true"
    >
      <path d={lines.map((y) => `M${from} ${y}H${width}`).join('')} />
    </svg>
  );
});

/** Signs at frets that are out of reach, and at notes of which the length was guessed. */
export const WarningMarks = memo(function WarningMarks(props: {
  readonly line: EngravedSystem;
  readonly warnings: Warnings;
}) {
  const { line, warnings } = props;
  const space = spaceOf(line.hits);
  const notes = line.hits.notes.filter((n) => n.row === 'tab');
  const faulty = notes.filter((n) => warnings.faults.has(n.id));
  const guessed = notes.filter((n) => warnings.guessed.has(n.id));
  if (faulty.length + guessed.length === 0) return null;
  const { width, height } = line;
  return (
    <svg
      className="write-over"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      aria-hidden="true"
    >
      {faulty.map((n) => {
        const x = n.x1 + 0.9 * space;
        const y = (n.y0 + n.y1) / 2;
        const r = 0.55 * space;
        return (
          <path
            key={n.id}
            className="write-fault"
            d={`M${x} ${y - r}L${x + r} ${y + r}H${x - r}Z`}
          />
        );
      })}
      {guessed.map((n) => (
        <path key={n.id} className="write-guessed" d={`M${n.x0 - 1} ${n.y1 + 2.5}H${n.x1 + 1}`} />
      ))}
    </svg>
  );
});

interface PieceProps {
  readonly state: EditState;
  readonly line: EngravedSystem;
  /** Height of a staff space in px. */
  readonly space: number;
}

/** A thin line at the moment, through everything that sounds there, and a frame on the string. */
function Cursor({ state, line, space }: PieceProps) {
  const { onset, string } = state.selection.cursor;
  const tab = rowOf(line.hits, 'tab');
  const y = tab?.strings[string - 1];
  if (tab === null || y === undefined) return null;
  const x = xOf(line, onset);
  const half = space * 0.85;
  // Nor into a chord above: what stands over the staff is left free.
  const top = (rowOf(line.hits, 'staff') ?? tab).y0 - space * 0.3;
  // Not into the names of the degrees beneath.
  const bottom = tab.y1 + space * 0.4;
  return (
    <g className="write-cursor">
      <path d={`M${x} ${top}V${y - half}M${x} ${y + half}V${bottom}`} />
      <rect x={x - half} y={y - half} width={2 * half} height={2 * half} rx={space * 0.3} />
    </g>
  );
}

function ChosenBlock({ state, line, space }: PieceProps) {
  const { selection } = state;
  const tab = rowOf(line.hits, 'tab');
  if (selection.corner === null || tab === null) return null;
  const block = blockOf(selection);
  const bars = line.hits.bars;
  const first = bars[0]?.start ?? 0;
  const end = bars.at(-1)?.end ?? 0;
  if (block.to < first || block.from >= end) return null;
  const pad = space * 1.1;
  const left = block.from < first ? (bars[0]?.x0 ?? 0) : xOf(line, block.from) - pad;
  const right = block.to >= end ? (bars.at(-1)?.x1 ?? 0) : xOf(line, block.to) + pad;
  const top = (tab.strings[block.top - 1] ?? tab.y0) - pad;
  const bottom = (tab.strings[block.bottom - 1] ?? tab.y1) + pad;
  return (
    <rect
      className="write-block"
      x={left}
      y={top}
      width={right - left}
      height={bottom - top}
      rx={space * 0.3}
    />
  );
}

/** A short stroke under each fret that was just written: techniques and lengths go there. */
function FreshNotes({ state, line, space }: PieceProps) {
  const { fresh, corner } = state.selection;
  if (fresh.length === 0 || corner !== null) return null;
  const ids = new Set<NoteId>(fresh);
  const half = space * 0.7;
  return line.hits.notes
    .filter((n) => n.row === 'tab' && ids.has(n.id))
    .map((n) => {
      const x = (n.x0 + n.x1) / 2;
      return (
        <path key={n.id} className="write-fresh" d={`M${x - half} ${n.y1 + 1.5}H${x + half}`} />
      );
    });
}

/** The lines in which something of a selection is shown. */
export function touches(state: EditState, line: EngravedSystem): boolean {
  const { selection } = state;
  const first = line.hits.bars[0]?.start ?? 0;
  const end = line.hits.bars.at(-1)?.end ?? 0;
  if (selection.corner !== null) {
    const block = blockOf(selection);
    return block.to >= first && block.from <= end;
  }
  if (selection.fresh.length === 0) return false;
  const ids = new Set(selection.fresh);
  return voiceOf(state).events.some(
    (e) => e.onset >= first && e.onset < end && e.notes.some((n) => ids.has(n.id)),
  );
}

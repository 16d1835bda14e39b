import type { NoteValue } from '../../core/phrase/note-value';

/** How a value is drawn: the head open or filled, with a stem, with so many flags. */
const SIGNS: Readonly<Record<NoteValue, readonly [open: boolean, stem: boolean, flags: number]>> = {
  whole: [true, false, 0],
  half: [true, true, 0],
  quarter: [false, true, 0],
  eighth: [false, true, 1],
  '16th': [false, true, 2],
  '32nd': [false, true, 3],
  '64th': [false, true, 4],
  '128th': [false, true, 5],
};

/** Where the head lies, and how far flags stand from each other. */
const HEAD = { x: 7, y: 23 };
const FLAG = 4.5;

/** A note value as the sign it is written with, in the colour of the text; its name is told beside it. */
export function NoteSign({ value }: { readonly value: NoteValue }) {
  const [open, stem, flags] = SIGNS[value];
  const top = 4;
  const x = HEAD.x + 4.6;
  return (
    <svg className="note-sign" viewBox="0 0 20 28" width="20" height="28" aria-hidden="true">
      <ellipse
        cx={HEAD.x}
        cy={HEAD.y}
        rx={open ? 4.6 : 5.2}
        ry={open ? 3.1 : 3.7}
        transform={`rotate(-22 ${HEAD.x} ${HEAD.y})`}
        fill={open ? 'none' : 'currentColor'}
        stroke="currentColor"
        strokeWidth={open ? 1.8 : 0.6}
      />
      {stem ? (
        <path
          d={`M${x} ${HEAD.y - 1.4}V${top}`}
          fill="none"
          stroke="currentColor"
          strokeWidth="1.4"
        />
      ) : null}
      {Array.from({ length: flags }, (_, i) => top + i * FLAG).map((y) => (
        <path
          key={y}
          d={`M${x} ${y}c.6 3.4 5.6 4 4.6 9.4c-.6-3-2.6-4-4.6-4.8z`}
          fill="currentColor"
        />
      ))}
    </svg>
  );
}

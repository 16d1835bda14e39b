import { fretMillimetres, playableFrets } from '../../../core/phrase/instrument';
import type { Instrument } from '../../../core/phrase/types';

/** A touch target, at the usual size of text: no column and no string is narrower under a finger. */
export const TOUCH = 44;

/** The least for a mouse (WCAG 2.5.8), where the whole neck then has room; and a string's height there. */
const POINTED = 24;
const POINTED_STRING = 32;

/** Room beside the names of the strings from which on a window is taken for that of a laptop. */
const LAPTOP = 800;

/** Room above the strings for the hand, below them for the numbers of the frets. */
export const HEAD = 30;
export const FEET = 28;

/** Where one plays an open string: left of the nut; less where room is dear. */
const OPEN = 52;
const LESS_OPEN = 38;

/** A fret's place on the drawing: from its left edge, in px at the usual size of text. */
export interface Column {
  readonly x: number;
  readonly width: number;
  readonly middle: number;
}

/** The drawing of a neck, in px at the usual size of text. */
export interface NeckPlan {
  readonly width: number;
  readonly height: number;
  readonly strings: number;
  /** Height of a string's row. */
  readonly row: number;
  /** Of fret 0, which is nut or capo, and of each that can be played. */
  readonly columns: readonly Column[];
  /** x of the nut or the capo, then of each wire. */
  readonly wires: readonly number[];
  readonly mirrored: boolean;
}

/**
 * Lays out a neck with its wires where they are on the instrument (N1), so large that the narrowest
 * fret can be touched; for a mouse so that all of it is in sight, or as much as a mouse can point at.
 * @param mirrored As a left-handed player sees it: the nut is on the right.
 * @param room Width for all of it, in px at the usual size of text, where there is a mouse; else null.
 */
export function planNeck(i: Instrument, mirrored: boolean, room: number | null = null): NeckPlan {
  const top = Math.max(0, playableFrets(i));
  const millimetres = Array.from(
    { length: top + 1 },
    (_, fret) => fretMillimetres(i, fret) - fretMillimetres(i, 0),
  );
  const narrowest = top === 0 ? 1 : millimetres[top]! - millimetres[top - 1]!;
  const whole = room === null ? 0 : ((room - LESS_OPEN) * narrowest) / millimetres[top]!;
  // Where a mouse could not point at all of it any more, the neck is pushed sideways as under a finger;
  // its strings stay close on a screen that is wider than high.
  const pointed = room !== null && (whole >= POINTED || room >= LAPTOP);
  const fret = pointed ? Math.min(Math.max(whole, POINTED), TOUCH) : TOUCH;
  const open = pointed ? LESS_OPEN : OPEN;
  const row = pointed ? POINTED_STRING : TOUCH;
  const wires = millimetres.map((mm) => open + (mm * fret) / narrowest);
  const width = wires[top]!;
  const flip = (x: number) => (mirrored ? width - x : x);
  const columns = wires.map((wire, fret): Column => {
    const before = fret === 0 ? 0 : wires[fret - 1]!;
    return {
      x: Math.min(flip(before), flip(wire)),
      width: wire - before,
      middle: flip((before + wire) / 2),
    };
  });
  const strings = i.tuning.length;
  return {
    width,
    height: HEAD + strings * row + FEET,
    strings,
    row,
    columns,
    wires: wires.map(flip),
    mirrored,
  };
}

/** y of a string; string 1 is on top, as in tablature. */
export function stringY({ row }: Pick<NeckPlan, 'row'>, string: number): number {
  return HEAD + (string - 0.5) * row;
}

/** Inlays on most necks, counted from the nut: one mark or two (common practice). */
export function inlaysAt(fretFromNut: number): 0 | 1 | 2 {
  if (fretFromNut <= 0) return 0;
  const inOctave = fretFromNut % 12;
  if (inOctave === 0) return 2;
  return [3, 5, 7, 9].includes(inOctave) ? 1 : 0;
}

/** A length that grows with the size of text. */
export function rem(px: number): string {
  return `${px / 16}rem`;
}

import { fretMillimetres, playableFrets } from '../../../core/phrase/instrument';
import type { Instrument } from '../../../core/phrase/types';

/** A touch target, at the usual size of text: no column and no string is narrower. */
export const TOUCH = 44;

/** Room above the strings for the hand, below them for the numbers of the frets. */
export const HEAD = 30;
export const FEET = 28;

/** Where one plays an open string: left of the nut. */
const OPEN = 52;

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
  /** Of fret 0, which is nut or capo, and of each that can be played. */
  readonly columns: readonly Column[];
  /** x of the nut or the capo, then of each wire. */
  readonly wires: readonly number[];
  readonly mirrored: boolean;
}

/**
 * Lays out a neck with its wires where they are on the instrument (N1), so large that the narrowest
 * fret can be touched.
 * @param mirrored As a left-handed player sees it: the nut is on the right.
 */
export function planNeck(i: Instrument, mirrored: boolean): NeckPlan {
  const top = Math.max(0, playableFrets(i));
  const millimetres = Array.from(
    { length: top + 1 },
    (_, fret) => fretMillimetres(i, fret) - fretMillimetres(i, 0),
  );
  const narrowest = top === 0 ? 1 : millimetres[top]! - millimetres[top - 1]!;
  const wires = millimetres.map((mm) => OPEN + (mm * TOUCH) / narrowest);
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
    height: HEAD + strings * TOUCH + FEET,
    strings,
    columns,
    wires: wires.map(flip),
    mirrored,
  };
}

/** y of a string; string 1 is on top, as in tablature. */
export function stringY(string: number): number {
  return HEAD + (string - 0.5) * TOUCH;
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

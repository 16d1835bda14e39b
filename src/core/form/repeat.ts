import type { LaidForm } from './lay';

/** Choruses that one solo may have. */
export const MOST_CHORUSES = 8;

/** A form so many times in a row, as one. */
export function repeatForm(laid: LaidForm, choruses: number): LaidForm {
  const each = Array.from({ length: choruses }, (_, i) => i * laid.bars.length);
  return {
    ...laid,
    bars: each.flatMap(() => laid.bars),
    sectionStarts: each.flatMap((bars) => laid.sectionStarts.map((s) => s + bars)),
  };
}

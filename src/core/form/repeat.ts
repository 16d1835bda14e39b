import type { LaidForm } from './lay';

/** Choruses that one solo may have. */
export const MOST_CHORUSES = 8;

/** Names of sections that are not played in every chorus (common practice). */
const INTRO = 'intro';
const TURNAROUND = 'turnaround';
const ENDING = 'ending';

/**
 * A form so many times in a row, as one: a section called intro is played once, before the first chorus,
 * one called ending once, after the last, where it takes the place of one called turnaround.
 */
export function repeatForm(laid: LaidForm, choruses: number): LaidForm {
  const sections = laid.form.sections.map(({ name }, i) => ({
    name: name.trim().toLowerCase(),
    bars: laid.bars.slice(laid.sectionStarts[i]! - 1, (laid.sectionStarts[i + 1] ?? Infinity) - 1),
  }));
  const ends = sections.some((s) => s.name === ENDING);
  const bars: LaidForm['bars'][number][] = [];
  const sectionStarts: number[] = [];
  for (let n = 1; n <= choruses; n++) {
    for (const s of sections) {
      const last = n === choruses;
      if (s.name === INTRO && n > 1) continue;
      if (s.name === ENDING && !last) continue;
      if (s.name === TURNAROUND && last && ends) continue;
      sectionStarts.push(bars.length + 1);
      bars.push(...s.bars);
    }
  }
  return { ...laid, bars, sectionStarts };
}

import { type Chord, thirdOf } from '../theory/chord';
import { tonesOf } from '../theory/chord-model';
import { type Degree, type DegreeNumber, ROOT, sameDegree } from '../theory/degree';
import type { ShapeKind } from './types';

/** Degrees that a shape of some kind sounds, one for each of its strings; in no order. */
export type ToneSet = readonly Degree[];

/** The tones of a chord over its root as degrees, 9, 11 and 13 as 2, 4 and 6, without a slash bass. */
export function degreesOf(c: Chord): readonly Degree[] {
  const all = tonesOf(c).map(
    (t): Degree => ({
      number: (t.value > 7 ? t.value - 7 : t.value) as DegreeNumber,
      alter: t.alter,
    }),
  );
  return all.filter((d, i) => all.findIndex((e) => sameDegree(d, e)) === i);
}

/** The tones that carry a chord's quality; null for each that it lacks. */
interface Pillars {
  readonly third: Degree | null;
  readonly fifth: Degree | null;
  /** The seventh, or the sixth where a chord has one in its place. */
  readonly seventh: Degree | null;
  /** The highest tone of the symbol beyond the seventh; null where there is none. */
  readonly top: Degree | null;
}

function pillarsOf(c: Chord): Pillars {
  const tones = tonesOf(c);
  const at = (value: number) => {
    const t = tones.find((x) => x.value === value);
    return t === undefined
      ? null
      : { number: (value > 7 ? value - 7 : value) as DegreeNumber, alter: t.alter };
  };
  const tops = tones.filter((t) => t.value > 7);
  const top = tops.at(-1);
  return {
    third: thirdOf(c),
    fifth: at(5),
    seventh: at(7) ?? at(6),
    top: top === undefined ? null : at(top.value),
  };
}

/**
 * The sets of tones that a kind of shape sounds over a chord (*common practice*; where it leaves a
 * choice, ours):
 *
 * - double stops: every two of the chord's tones;
 * - triads: root, third (of a suspended chord the 4 or 2) and fifth;
 * - shells: root, third and seventh or sixth;
 * - four notes: a triad with one of its tones doubled; the four tones of a seventh or sixth chord; of
 *   a larger chord the third, the seventh and the highest tone with any one of the others, but not
 *   the 4 over a major third.
 */
export function toneSets(c: Chord, kind: ShapeKind): readonly ToneSet[] {
  const all = degreesOf(c);
  const { third, fifth, seventh, top } = pillarsOf(c);
  switch (kind) {
    case 'double stop':
      return all.flatMap((a, i) => all.slice(i + 1).map((b) => [a, b]));
    case 'triad':
      return third === null || fifth === null || !has(all, ROOT) ? [] : [[ROOT, third, fifth]];
    case 'shell':
      return third === null || seventh === null || !has(all, ROOT) ? [] : [[ROOT, third, seventh]];
    case 'four-note': {
      if (all.length === 3) return all.map((d) => [...all, d]);
      if (all.length === 4) return [all];
      if (all.length < 3) return [];
      const kept = [third, seventh, top].filter((d) => d !== null);
      const clash = (d: Degree) =>
        d.number === 4 && d.alter === 0 && third?.number === 3 && third.alter === 0;
      const free = all.filter((d) => !has(kept, d) && !clash(d));
      return kept.length === 3 ? free.map((d) => [...kept, d]) : [];
    }
  }
}

function has(list: readonly Degree[], d: Degree): boolean {
  return list.some((e) => sameDegree(d, e));
}

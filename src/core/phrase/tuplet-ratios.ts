import { TUPLET_NORMALS, type TupletRatio } from './tuplet-ratio';

/** All of the list, by how many notes they have. */
export const TUPLET_RATIOS: readonly TupletRatio[] = Object.entries(TUPLET_NORMALS).flatMap(
  ([actual, normals]) =>
    // The keys and entries of the list, of which the type is made.
    normals.map((normal) => ({ actual: Number(actual), normal }) as TupletRatio),
);

/** The ratio of so many notes in the time of so many, the usual time where none is said; null for none. */
export function tupletRatio(actual: number, normal?: number): TupletRatio | null {
  return (
    TUPLET_RATIOS.find((r) => r.actual === actual && (normal ?? r.normal) === r.normal) ?? null
  );
}

/** Reads what `ratioText` writes, and the usual ones in full: `3:2`; null for what is no ratio in use. */
export function readRatioText(text: string): TupletRatio | null {
  const m = /^\s*(\d{1,2})\s*(?::\s*(\d{1,2})\s*)?$/u.exec(text);
  if (m === null) return null;
  return tupletRatio(Number(m[1]), m[2] === undefined ? undefined : Number(m[2]));
}

/** The same number of notes in the same time. */
export function sameRatio(a: TupletRatio, b: TupletRatio): boolean {
  return a.actual === b.actual && a.normal === b.normal;
}

/**
 * In the time of how many plain notes so many may be played, the usual number first: a tuplet of it is
 * named and printed by its one number. Usual are the next power of two below, and in dotted beats two,
 * four and eight in the time of three and six (common practice; from memory of the handbooks). The
 * others are those in print in which no note falls between two ticks (T1), which leaves out 11, 13 and
 * 17. What has the same division of time as a ratio of the list is written as that: 9:4 as 9:8 in half
 * the values.
 */
export const TUPLET_NORMALS = {
  2: [3],
  3: [2, 4, 5],
  4: [3, 5, 6, 7],
  5: [4, 3, 6, 7, 8],
  6: [4, 5, 7],
  7: [4, 3, 5, 6, 8],
  8: [6, 3, 5, 7],
  9: [8, 5, 6, 7],
  10: [8, 6, 7],
  12: [8, 7, 10],
  14: [8, 12],
  15: [8, 12, 16],
} as const;

type Normals = typeof TUPLET_NORMALS;

/** `actual` notes in the time of `normal`: one of the list above. */
export type TupletRatio = {
  [A in keyof Normals]: { readonly actual: A; readonly normal: Normals[A][number] };
}[keyof Normals];

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

/** Whether the number of its notes says it all. */
export function isUsual({ actual, normal }: TupletRatio): boolean {
  return TUPLET_NORMALS[actual][0] === normal;
}

/** `3`, and `7:3` where the number alone would be taken for another. */
export function ratioText(t: TupletRatio): string {
  return isUsual(t) ? String(t.actual) : `${t.actual}:${t.normal}`;
}

/** Reads what `ratioText` writes, and the usual ones in full: `3:2`; null for what is no ratio in use. */
export function readRatioText(text: string): TupletRatio | null {
  const m = /^\s*(\d{1,2})\s*(?::\s*(\d{1,2})\s*)?$/u.exec(text);
  if (m === null) return null;
  return tupletRatio(Number(m[1]), m[2] === undefined ? undefined : Number(m[2]));
}

const NAMES: Readonly<Partial<Record<number, string>>> = {
  2: 'duplet',
  3: 'triplet',
  4: 'quadruplet',
  5: 'quintuplet',
  6: 'sextuplet',
  7: 'septuplet',
  8: 'octuplet',
  9: 'nonuplet',
  10: 'decuplet',
};

/** What it is called: `triplet`, `tuplet 7:3`. */
export function tupletName(t: TupletRatio): string {
  const name = isUsual(t) ? NAMES[t.actual] : undefined;
  return name ?? `tuplet ${t.actual}:${t.normal}`;
}

/** The same with its article: `a triplet`, `an octuplet`. */
export function aTuplet(t: TupletRatio): string {
  const name = tupletName(t);
  return `${name.startsWith('o') ? 'an' : 'a'} ${name}`;
}

/** Several of them: `triplets`, `tuplets 7:3`. */
export function tupletsName(t: TupletRatio): string {
  return tupletName(t).replace(/^\w+/u, '$&s');
}

/** The same number of notes in the same time. */
export function sameRatio(a: TupletRatio, b: TupletRatio): boolean {
  return a.actual === b.actual && a.normal === b.normal;
}

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

/** Whether the number of its notes says it all. */
export function isUsual({ actual, normal }: TupletRatio): boolean {
  return TUPLET_NORMALS[actual][0] === normal;
}

/** `3`, and `7:3` where the number alone would be taken for another. */
export function ratioText(t: TupletRatio): string {
  return isUsual(t) ? String(t.actual) : `${t.actual}:${t.normal}`;
}

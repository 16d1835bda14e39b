/** What to do where numerals are not understood, beside what `fixOf` knows. */
export const NUMERAL_FIX = {
  any: 'Write one such as IV7 or ii7, N.C. for none, or % for the bar before.',
  divide: 'Divide bars with |, and the numerals of a bar with spaces.',
} as const;

/** How else people write forms, and how it is written here; the first that fits counts. */
const HABITS: readonly (readonly [RegExp, string])[] = [
  [/^[%\u{1d10e}]/u, 'A % is the whole bar before, and stands alone in its bar.'],
  [
    /^[/.…-]+$/u,
    'Beats are not written: the numerals of a bar share them. Write % for the bar before.',
  ],
  [/^:|:$|^x\d|^\d+x$/iu, 'Write bars that come again once more; % is the bar before.'],
  [/[¦│‖]/u, 'Divide bars with |.'],
  [/^[,;–—→>=-]/u, NUMERAL_FIX.divide],
  [/^[Ⅰ-ⅿ]/u, 'Write it with letters: Ⅳ is IV.'],
  [/^[b#♭♯]?[1-7]/u, 'Count in roman numerals: IV7 for 47, bVII for b7.'],
  [/^l/u, 'Write I with a capital i.'],
  [/^[([{]|[)\]}]$/u, 'Leave out the brackets around it.'],
];

/** A word that is longer is not written once more in what is told. */
const LONGEST_SHOWN = 30;

const ROMAN = /^(?:bb|##|[b#n♭♯♮𝄫𝄪])?(?:VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)/u;

/**
 * What to do about a word that is no numeral.
 * @param at Where in it the first character stands that is not understood.
 * @returns null where no more is known than that.
 */
export function fixOf(word: string, at: number): string | null {
  const rest = word.slice(at);
  const habit = HABITS.find(([pattern]) => pattern.test(rest))?.[1];
  const begun = ROMAN.exec(word)?.[0];
  if (begun === undefined) return habit ?? null;
  if (at <= begun.length) {
    if (/^[IViv]/u.test(rest)) return 'Numerals go from I to VII, or from i to vii.';
    if (/^[b#♭♯]$/u.test(rest)) return `Write the sign before the numeral: ${rest}${begun}.`;
  } else if (ROMAN.test(rest)) {
    if (word.length > LONGEST_SHOWN) return NUMERAL_FIX.divide;
    return `Divide numerals with a space: ${word.slice(0, at).replace(/[,;]$/u, '')} ${rest}.`;
  }
  if (rest.startsWith('/')) return null;
  return habit === NUMERAL_FIX.divide ? habit : 'Write it like ii7b5, V7(b9), IVmaj9 or I/3.';
}

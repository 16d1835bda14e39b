/**
 * Text as it is compared: lower case, without accents, musical signs as typed (`♭` is `b`, `♯` is
 * `#`), curly quotes straight, any run of white space one space.
 * @example foldText('B♭7 — Señor') // 'bb7 - senor'
 */
export function foldText(text: string): string {
  return text
    .replaceAll('𝄫', 'bb')
    .replaceAll('𝄪', '##')
    .replaceAll('♭', 'b')
    .replaceAll('♯', '#')
    .replaceAll(/[’‘]/gu, "'")
    .replaceAll(/[“”]/gu, '"')
    .replaceAll(/[–—−]/gu, '-')
    .normalize('NFD')
    .replaceAll(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll(/\s+/gu, ' ')
    .trim();
}

/** The words of what was typed, folded; none for an empty field. */
export function foldWords(typed: string): readonly string[] {
  return foldText(typed)
    .split(' ')
    .filter((w) => w !== '');
}

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

/**
 * One line as it can be kept and exported (`core/validity/frame.ts`): what a paste brought along that no
 * letter is, a tab between two cells or a sign that rings a bell, becomes a blank, so that nothing has to
 * be typed again.
 */
export function plainLine(text: string): string {
  return whole(text).replaceAll(/\p{Cc}+/gu, ' ');
}

/** Several lines as they can be kept: line feeds and tabs stay. */
export function plainLines(text: string): string {
  return whole(text)
    .replaceAll(/\r\n?/gu, '\n')
    .replaceAll(/(?![\n\t])\p{Cc}/gu, ' ');
}

/** Without halves of letters, which a cut leaves of an emoji, and what is no character at all. */
function whole(text: string): string {
  return text.replaceAll(/[\p{Cs}\ufffe\uffff]/gu, '');
}

/** Letters of what was typed or pasted that a message quotes. */
const MOST_QUOTED = 40;

/** What was typed or pasted, as a message quotes it: a page pasted by mistake would fill the screen. */
export function shortened(text: string): string {
  const letters = [...text];
  return letters.length <= MOST_QUOTED ? text : `${letters.slice(0, MOST_QUOTED).join('')}…`;
}

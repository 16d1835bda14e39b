import { QUICK_SIGNS } from '../io/quick/signs';
import { wrapText } from '../io/text/char-width';
import { PAGE_WIDTH } from './shell';

const BEGIN = `Quick text is a phrase in a line or several, kept in files that end in .quick or typed in the app:

  [A blues, 4/4, 96 quarters, swing 2:1] {A7} e 3:5 7 2:5 8b10 q 5~ r | {D7} 3(e 3:7 5 4:7) h 3:5+2:5

Words are parted by spaces. A value letter holds until the next one, and so does a string. Under each
sign stands an example that can be read by itself.

`;
const INDENT = 19;

/** How quick text is written, sign by sign, in the words of the page where a phrase is written. */
export function quickHelp(): string {
  const pad = ' '.repeat(INDENT);
  const rows = QUICK_SIGNS.map(({ sign, meaning, example }) => {
    const begin = `  ${sign}`;
    const words = wrapText(meaning.replaceAll('`', ''), PAGE_WIDTH - INDENT);
    const beside = begin.length < INDENT;
    const [first = '', ...more] = beside ? words : ['', ...words];
    const lines = [`${begin.padEnd(INDENT)}${first}`.trimEnd(), ...more.map((l) => pad + l)];
    return `${[...lines, `${pad}  ${example}`].join('\n')}\n`;
  });
  return BEGIN + rows.join('');
}

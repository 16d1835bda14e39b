import type { Phrase } from '../../src/core/phrase/types';
import type { EngraveOptions } from '../../src/engrave/options';
import { build } from './build';
import { degreesOf } from './engraving';

/** Pages whose SVG is kept and compared byte by byte, in Node and in the browser. */
export interface GoldenPage {
  readonly name: string;
  readonly phrase: Phrase;
  readonly options: EngraveOptions;
}

const page = (
  name: string,
  phrase: Phrase,
  options: Omit<EngraveOptions, 'degrees'>,
): GoldenPage => ({ name, phrase, options: { ...options, degrees: degreesOf(phrase) } });

export const GOLDEN_PAGES: readonly GoldenPage[] = [
  page(
    'bends-and-slides',
    build(
      'q 3/5=C(bend:D4)+2/5=E(bend:F4) 2/13=C(rel:D5) 3/9(in:-1)+2/9(in:-1) 2/8(curl) | ' +
        'q. 3/9(S)@acc e 3/7(h) 3/5(p) 4/7 q 3/5(vib,out:down)',
      { chords: 'G7 | C7 F#dim7/E', key: 'G', tempo: { bpm: 92, unit: 'quarter' } },
    ),
    { width: 640, changed: new Set(['n1', 'n7']) },
  ),
  page(
    'voices-and-tuplets',
    build('e3 2/5 2/7 1/5 q 1/7 h 1/8 | q - e 1/7 1/5 h 2/8', {
      second: 'h 6/0 5/0 | w 5/0',
      chords: 'Am7 | D9',
      key: 'C',
      feel: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
      marks: [
        { kind: 'dynamic', onset: 0, value: 'mp' },
        { kind: 'words', onset: 0, text: 'with space' },
      ],
    }),
    { width: 420, size: 7 },
  ),
  page(
    'tablature',
    build(
      'e 6/0@pm 6/0@pm 5/2@pm 5/3@pm q 4/2+3/2@sdown 3/x5@down | h 3/12(nat:12) q 2/5(tr:F4) -',
      {
        chords: 'E7 | A7',
        key: 'E blues',
      },
    ),
    { width: 520, staves: 'tab' },
  ),
];

/** One element a line, so that a difference can be read. */
export function readableSvg(systems: readonly { readonly svg: string }[]): string {
  return `${systems.map((s) => s.svg.replaceAll('><', '>\n<')).join('\n\n')}\n`;
}

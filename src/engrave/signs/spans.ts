import { type Fragment, Pen } from '../ink/pen';

const SIZE = 11;
const DASH = '4 3';

/**
 * Words over a stretch of music, with a dashed line to its end if there is room: `P.M. – – ⌐`.
 * @param length From the middle of the first note to the right of the last.
 * @param closed The stretch ends here; else it goes on in the next line.
 */
export function drawSpan(words: string, length: number, closed: boolean): Fragment {
  const pen = new Pen();
  pen.sign('span');
  const m = pen.text(words, -3, 0, 'text', SIZE);
  const from = m.advance + 1;
  if (length > from + 8) {
    pen.line(from, -3.5, length, -3.5, 1, DASH);
    if (closed) pen.line(length, -3.5, length, 1.5, 1);
  }
  return pen.done();
}

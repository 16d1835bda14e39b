import type { ChordSymbol } from '../../core/phrase/types';
import { chordOf, formatQuality } from '../../core/theory/chord';
import { alterSign, type PitchClass } from '../../core/theory/pitch';
import { type Fragment, Pen } from '../ink/pen';

const ROOT_SIZE = 16;
const QUALITY_SIZE = 13;
const RAISED_SIZE = 11.5;
const RAISE = 4.5;

/**
 * A chord symbol as it is set above the music: the root large, its quality smaller, numbers and
 * alterations raised, a slash bass on the line. Starts at x = 0 on the base line y = 0.
 * @param symbol Null for N.C.
 */
export function drawChordName(symbol: ChordSymbol | null): Fragment {
  const pen = new Pen();
  pen.sign('chord', 'dw-chord');
  if (symbol === null) {
    pen.text('N.C.', 0, 0, 'bold', QUALITY_SIZE);
    return pen.done();
  }
  const chord = chordOf(symbol);
  let x = 0;
  const put = (text: string, size: number, lift: number) => {
    if (text === '') return;
    x += pen.text(text, x, -lift, 'bold', size).advance + 0.4;
  };
  const name = (p: PitchClass, size: number) => {
    put(p.letter, size, 0);
    put(alterSign(p.alter), size * 0.85, 2);
  };
  name(chord.root, ROOT_SIZE);
  const quality = formatQuality(chord, 'sign');
  const head = /^(?:maj|m|°|ø|\+)?/u.exec(quality)![0];
  put(head, QUALITY_SIZE, 0);
  put(quality.slice(head.length), RAISED_SIZE, RAISE);
  if (chord.bass !== null) {
    x += 0.6;
    put('/', QUALITY_SIZE, 0);
    name(chord.bass, QUALITY_SIZE);
  }
  return pen.done();
}

import type { Feel, Phrase, Tempo } from '../../../core/phrase/types';
import { wrapText } from '../../text/char-width';
import type { Signs } from '../../text/signs';

/** Stands before the source of a phrase without a title. */
export const SOURCE = 'source: ';

/** Stands before a title that would be read as something else. */
export const TITLE = 'title: ';

/** How the line of the source begins; it stands in the next line where a word of it has no room beside the sign. */
export const ORIGIN = new RegExp(`^(?:in the style of |${SOURCE.trim()}(?: |$))`, 'u');

/** Title, origin, key, tempo, feel and instrument in a few lines of at most `width` characters. */
export function headerLines(p: Phrase, signs: Signs, width: number): string[] {
  const { meta } = p;
  const origin = [
    meta.styleOf === undefined ? '' : `in the style of ${meta.styleOf}`,
    (meta.source ?? '').trim() === '' ? '' : `${sourceWord(p)}${meta.source}`,
  ].filter((t) => t !== '');
  const paragraphs = [
    `${titleWord(meta.title)}${meta.title}`,
    origin.join('; '),
    [keyText(p, signs), tempoText(p.tempo), feelText(p.feel)].join(', '),
    instrumentText(p, signs),
  ];
  return paragraphs.flatMap((t) => wrapText(t, width));
}

function titleWord(title: string): string {
  const text = title.trim();
  return ORIGIN.test(text) || text.startsWith(TITLE.trim()) ? TITLE : '';
}

/** Without a title over it the source would be read as one. */
function sourceWord({ meta }: Phrase): string {
  return meta.title === '' && meta.styleOf === undefined ? SOURCE : '';
}

function keyText(p: Phrase, signs: Signs): string {
  const { tonic, mode } = p.key;
  const octaveless = signs.pitch({ ...tonic, octave: 0 }).slice(0, -1);
  return `${octaveless} ${mode}`;
}

function tempoText(t: Tempo): string {
  return `${t.unit.replace('-', ' ')} = ${t.bpm}`;
}

function feelText(f: Feel): string {
  if (f.kind === 'straight') return 'straight';
  const unit = f.unit === 'eighth' ? 'eighths' : '16ths';
  return `swung ${unit} ${f.first}:${f.second}`;
}

function instrumentText(p: Phrase, signs: Signs): string {
  const { name, tuning, frets, capo } = p.instrument;
  const strings = tuning.map((t) => signs.pitch(t)).join(' ');
  const words = [`${name}: ${strings}`, `${frets} frets`];
  if (capo > 0) words.push(`capo ${capo} (frets are counted from it, strings named without it)`);
  return words.join(', ');
}

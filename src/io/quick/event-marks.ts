import { nonEmpty } from '../../core/phrase/rebuild';
import type { PhraseEvent } from '../../core/phrase/types';
import type { NoteContext } from './note-context';
import { readGraces } from './read-graces';
import type { Scanner } from './scanner';

/** What is written after the notes of an event, each sign behind a `!`. */
export function readEventMarks(scan: Scanner, e: PhraseEvent, context: NoteContext): PhraseEvent {
  const out: { -readonly [K in keyof PhraseEvent]: PhraseEvent[K] } = { ...e };
  for (;;) {
    const at = scan.at;
    if (!scan.take(/!/y)) return out;
    const rake = scan.take(/k(\d(?:\.?\d)*)/y);
    if (rake !== null) {
      const text = rake[1]!;
      const strings = (text.includes('.') ? text.split('.') : [...text]).map(Number);
      out.rake = strings as [number, ...number[]];
      continue;
    }
    if (scan.take(/G/y)) {
      const graces = nonEmpty(readGraces(scan, context, context.phrase.instrument));
      if (graces !== null) out.graces = graces;
      continue;
    }
    const m = scan.take(/pm|\/{1,3}|[duDU>.\-?]/y);
    switch (m?.[0]) {
      case 'd':
        out.stroke = 'down';
        break;
      case 'u':
        out.stroke = 'up';
        break;
      case 'D':
        out.strum = 'down';
        break;
      case 'U':
        out.strum = 'up';
        break;
      case '>':
        out.accent = true;
        break;
      case '.':
        out.staccato = true;
        break;
      case '-':
        out.tenuto = true;
        break;
      case 'pm':
        out.palmMute = true;
        break;
      case '?':
        out.guessed = true;
        break;
      case '/':
      case '//':
      case '///':
        out.tremolo = m[0].length as 1 | 2 | 3;
        break;
      default:
        scan.report(
          "what follows '!' is not known",
          'Write !d !u !D !U !> !. !- !pm !/ !k65 or !?.',
          at,
        );
        scan.take(/[^\s!]*/y);
    }
  }
}

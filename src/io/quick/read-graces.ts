import { openMidi } from '../../core/phrase/instrument';
import type { Grace, GraceNote, Instrument } from '../../core/phrase/types';
import { spellAt } from '../../core/understand/spell';
import { checkFret, type NoteContext, named } from './note-context';
import type { Scanner } from './scanner';

/** Grace notes of several strings after `!G`. */
export function readGraces(
  scan: Scanner,
  c: NoteContext,
  instrument: Instrument,
): readonly Grace[] {
  const graces: Grace[] = [];
  do {
    const notes: GraceNote[] = [];
    do {
      const at = scan.at;
      const m = scan.take(/(\d{1,2}):([hp/]?)(\d{1,2})(?:;([A-G](?:bb|##|b|#)?))?/y);
      const string = Number(m?.[1]);
      if (m === null || string < 1 || string > instrument.tuning.length) {
        scan.report('a grace note is expected here', 'Write string and fret: !G3:4+2:4.', at);
        return graces;
      }
      checkFret(scan, instrument, Number(m[3]), at);
      notes.push(graceNote(c, string, Number(m[3]), m[2]!, m[4]));
    } while (scan.take(/\+/y));
    const [first, ...rest] = notes.sort((a, b) => a.string - b.string);
    graces.push({ notes: [first!, ...rest] });
  } while (scan.take(/\|(?=\d)/y));
  return graces;
}

/** A grace note on a fret, under its usual name or the one that is said. */
export function graceNote(
  c: NoteContext,
  string: number,
  fret: number,
  how: string,
  name: string | undefined,
): GraceNote {
  const midi = openMidi(c.phrase.instrument, string) + fret;
  const pitch = named(spellAt(c.phrase, c.onset, midi), midi, name);
  const attack = how === '' ? {} : { attack: ATTACKS[how]! };
  return { pitch, string, fret, ...attack };
}

const ATTACKS: Readonly<Record<string, 'hammer-on' | 'pull-off' | 'slide'>> = {
  h: 'hammer-on',
  p: 'pull-off',
  '/': 'slide',
};

import { pitchAtPlace } from '../../../core/edit/commands/point';
import { eventOver } from '../../../core/edit/select';
import type { EditState } from '../../../core/edit/state';
import { playableFrets } from '../../../core/phrase/instrument';
import { barAt } from '../../../core/phrase/time';
import type { Instrument, Note, Place } from '../../../core/phrase/types';
import { notesOf } from '../../../core/phrase/walk';
import { formatChord } from '../../../core/theory/chord';
import { degreeOf } from '../../../core/theory/degree';
import { formatKey } from '../../../core/theory/key';
import type { Analysis } from '../../../core/understand/analyse';
import { rootAt } from '../../../core/understand/spell';
import { degreeText } from '../../../publish/degree-labels';
import { chordName, degreeName, noteName } from '../../shared/words';

/** A note shown at its place. */
export interface Mark extends Place {
  readonly id: string;
  /** Its degree; `×` for a dead note. */
  readonly text: string;
  /** It sounds at the cursor's moment; else elsewhere in the bar. */
  readonly now: boolean;
}

/** What the neck shows of a bar. */
export interface BarOnNeck {
  /** One for each place, those of the moment first. */
  readonly marks: readonly Mark[];
  /** The places of the cursor's voice in playing order, of chords the lowest string in number. */
  readonly way: readonly Place[];
}

/** The notes at the cursor's moment, and the other notes of its bar. */
export function barOnNeck(s: EditState, analysis: Analysis): BarOnNeck {
  const { cursor, voice } = s.selection;
  const bar = barAt(s.phrase, cursor.onset);
  const sounding = new Set(
    s.phrase.voices.flatMap((v) => eventOver(v, cursor.onset)?.event.notes ?? []),
  );
  const inBar = notesOf(s.phrase).filter(
    (n) => sounding.has(n.note) || (n.onset >= bar.start && n.onset < bar.end),
  );
  const marks = new Map<string, Mark>();
  const add = (note: Note, now: boolean) => {
    const key = keyOf(note);
    if (marks.has(key)) return;
    const { id, string, fret } = note;
    marks.set(key, { id, string, fret, text: textOf(note, analysis), now });
  };
  for (const { note } of inBar) if (sounding.has(note)) add(note, true);
  for (const { note } of inBar) add(note, false);
  const way = inBar.filter((n) => n.voice === voice && n.noteIndex === 0).map((n) => n.note);
  return { marks: [...marks.values()], way };
}

/** A place as the key of a table. */
export function keyOf({ string, fret }: Place): string {
  return `${string}/${fret}`;
}

function textOf(note: Note, analysis: Analysis): string {
  const reading = analysis.byId.get(note.id);
  if (note.kind === 'dead' || reading === undefined) return '×';
  return degreeText(reading, 'chord') ?? degreeText(reading, 'key') ?? '';
}

const NAMES = new WeakMap<Instrument, Map<string, readonly (readonly string[])[]>>();

/**
 * What every place is called at the cursor's moment, by string (from 1, so the first is at index
 * 0) and fret: `string 2, fret 7: F♯, 3 of D7`. Made once for a chord and key.
 */
export function placeNames(s: EditState): readonly (readonly string[])[] {
  const { instrument, key } = s.phrase;
  const { root, chord } = rootAt(s.phrase, s.selection.cursor.onset);
  const known = NAMES.get(instrument) ?? new Map<string, readonly (readonly string[])[]>();
  NAMES.set(instrument, known);
  const over = chord === null ? null : formatChord(chord);
  const context = `${over ?? ''} in ${formatKey(key)}`;
  const before = known.get(context);
  if (before !== undefined) return before;
  const of = over === null ? 'the key' : chordName(over);
  const made = instrument.tuning.map((_, index) =>
    Array.from({ length: playableFrets(instrument) + 1 }, (__, fret) => {
      const string = index + 1;
      const pitch = pitchAtPlace(s, { string, fret });
      const where = fret === 0 ? 'open' : `fret ${fret}`;
      const what = `${noteName(pitch)}, ${degreeName(degreeOf(root, pitch))} of ${of}`;
      return `string ${string}, ${where}: ${what}`;
    }),
  );
  known.set(context, made);
  return made;
}

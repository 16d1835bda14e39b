import type { NeckMark } from '../../../core/neck/on-neck';
import type { Phrase, Place } from '../../../core/phrase/types';
import { notesOf } from '../../../core/phrase/walk';
import { formatChord } from '../../../core/theory/chord';
import { pitchClassOf } from '../../../core/theory/degree';
import type { PitchClass } from '../../../core/theory/pitch';
import type { Analysis } from '../../../core/understand/analyse';
import type { NoteReading, PitchReading } from '../../../core/understand/reading';
import { chordName, degreeName, noteName } from '../../shared/words';

/** `string 2, fret 8`, `string 1, open`. */
export function placeText({ string, fret }: Place): string {
  return `string ${string}, ${fret === 0 ? 'open' : `fret ${fret}`}`;
}

/** A place of a phrase in words: what sounds there, what it is and when it is played. */
export function markText(p: Phrase, analysis: Analysis, mark: NeckMark): string {
  const what = new Set<string>();
  for (const { note } of notesOf(p)) {
    if (!mark.ids.includes(note.id)) continue;
    const r = analysis.byId.get(note.id);
    what.add(r === undefined ? 'dead note' : readingText(r));
  }
  const order = mark.order.length === 0 ? '' : `; played ${orderText(mark.order)}`;
  return `${placeText(mark)}: ${[...what].join('; ')}${order}`;
}

function readingText(r: NoteReading): string {
  const chord = r.owner?.chord ?? null;
  const over = chord === null ? 'the key' : chordName(formatChord(chord));
  const name = (p: PitchReading) => degreeName(p.chordDegree ?? p.keyDegree);
  const bent = r.heard === r.start ? '' : ` bent to ${name(r.heard)}`;
  return `${noteName(r.start.pitch)}, ${name(r.start)}${bent} of ${over}`;
}

/** A place of a chord or scale in words. */
export function toneText(mark: NeckMark, root: PitchClass, of: string): string {
  const tones = mark.labels.map(({ degree, text }) => {
    const pitch = degree === null ? null : pitchClassOf(root, degree);
    return pitch === null ? text : `${noteName(pitch)}, ${text}`;
  });
  return `${placeText(mark)}: ${tones.join('; ')} of ${of}`;
}

/** `1st, 3rd and 5th`. */
function orderText(order: readonly number[]): string {
  const names = order.map(ordinal);
  if (names.length === 1) return names[0]!;
  return `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}

function ordinal(n: number): string {
  const tens = n % 100;
  if (tens >= 11 && tens <= 13) return `${n}th`;
  return `${n}${['th', 'st', 'nd', 'rd'][n % 10] ?? 'th'}`;
}

import type { Note, Phrase, PitchedNote } from '../phrase/types';
import { bendSemitones, endOf, heardPitch, type NoteAt, notesOf } from '../phrase/walk';
import { type Degree, sameDegree } from '../theory/degree';
import { samePitch } from '../theory/pitch';
import { analyse } from '../understand/analyse';
import type { NoteReading } from '../understand/reading';
import { pitchName, withDegree } from './names';
import type { Kept } from './types';

/** What an easier way keeps, and in words what it does not. */
export interface Difference {
  readonly kept: Kept;
  readonly changes: readonly string[];
}

/** Compares what is heard of two phrases, note by note, and what each note is (D1, D3). */
export function differenceOf(before: Phrase, after: Phrase): Difference {
  const was = analyse(before);
  const is = analyse(after);
  const there = new Map(notesOf(after).map((n) => [n.note.id, n]));
  const kept = { notes: true, times: true, pitches: true, roles: true };
  const changes: string[] = [];
  for (const old of notesOf(before)) {
    const now = there.get(old.note.id);
    const a = was.byId.get(old.note.id);
    if (now === undefined) {
      kept.notes = false;
      changes.push(a === undefined ? 'a dead note is left out' : `${nameOf(a)}, is left out`);
      continue;
    }
    const b = is.byId.get(old.note.id);
    if (!sameTime(old, now)) {
      kept.times = false;
      changes.push(`${a === undefined ? 'a dead note' : pitchName(a.heard.pitch)} ends earlier`);
    }
    if (a === undefined || b === undefined) continue;
    if (!samePitch(a.heard.pitch, b.heard.pitch)) {
      kept.pitches = false;
      changes.push(`${nameOf(a)}, becomes ${nameOf(b)}`);
    } else changes.push(...wayThere(a.note, b.note, pitchName(b.heard.pitch)));
    if (!sameDegrees(a, b) || a.role !== b.role) {
      kept.roles = false;
      if (samePitch(a.heard.pitch, b.heard.pitch))
        changes.push(`${pitchName(b.heard.pitch)} is ${b.role ?? 'without a role'} now`);
    }
  }
  return { kept, changes };
}

/** What of the way to a pitch is not heard any more, in words; a slide over the same semitones says the same as a bend. */
function wayThere(was: PitchedNote, is: PitchedNote, name: string): readonly string[] {
  const unslid = was.slideIn !== undefined && is.slideIn === undefined;
  const gone = unslid ? [`${name} is not slid into any more`] : [];
  const { bend } = was;
  if (bend?.shape === 'curl')
    return is.bend ? gone : [...gone, `the quarter tone above ${name} is not heard any more`];
  // A pre-bend begins unheard.
  if (bend?.shape !== 'bend' && bend?.shape !== 'bend-release') return gone;
  const start = pitchName(was.pitch);
  if (is.bend === undefined)
    return risesAlike(was, is) ? gone : [...gone, `the rise from ${start} is not heard any more`];
  return samePitch(was.pitch, is.pitch)
    ? gone
    : [...gone, `${name} is reached from ${pitchName(is.pitch)}`];
}

function risesAlike(bent: PitchedNote, slid: PitchedNote): boolean {
  const { slideIn } = slid;
  return (
    slideIn?.kind === 'interval' &&
    slideIn.from === 'below' &&
    slideIn.semitones === bendSemitones(bent)
  );
}

function sameTime(a: NoteAt, b: NoteAt): boolean {
  return a.onset === b.onset && endOf(a.event) === endOf(b.event);
}

function nameOf(r: NoteReading): string {
  return withDegree(r.heard.pitch, r.heard.chordDegree ?? r.heard.keyDegree);
}

function sameDegrees(a: NoteReading, b: NoteReading): boolean {
  const same = (x: Degree | null, y: Degree | null) =>
    x === null || y === null ? x === y : sameDegree(x, y);
  return same(a.heard.chordDegree, b.heard.chordDegree);
}

/** Notes of `before` that lie elsewhere in `after`, as they are there. */
function movedIn(before: Phrase, after: Phrase): readonly (readonly [was: Note, is: Note])[] {
  const was = new Map(notesOf(before).map((n) => [n.note.id, n.note]));
  return notesOf(after).flatMap(({ note }) => {
    const old = was.get(note.id);
    const stays = old === undefined || (old.string === note.string && old.fret === note.fret);
    return stays ? [] : [[old, note] as const];
  });
}

/** How many notes lie elsewhere on the neck in the second phrase; matched by their ids. */
export function movedNotes(before: Phrase, after: Phrase): number {
  return movedIn(before, after).length;
}

/** The notes that lie elsewhere, in words: `C on string 3 fret 5, not string 4 fret 10`. */
export function placesSaid(before: Phrase, after: Phrase): string {
  const moved = movedIn(before, after);
  const words = moved.map(([old, note]) => {
    const name = note.kind === 'pitched' ? pitchName(heardPitch(note)) : 'the dead note';
    const where = `string ${note.string} fret ${note.fret}`;
    return `${name} on ${where}, not string ${old.string} fret ${old.fret}`;
  });
  const said = [...new Set(words)];
  if (said.length > 2) {
    const frets = moved.map(([, note]) => note.fret);
    const [lo, hi] = [Math.min(...frets), Math.max(...frets)];
    return `${moved.length} notes between ${lo === 0 ? 'the open strings' : `fret ${lo}`} and fret ${hi}`;
  }
  return said
    .map((line) => {
      const times = words.filter((w) => w === line).length;
      return times > 1 ? `${line} (${times} times)` : line;
    })
    .join('; ');
}

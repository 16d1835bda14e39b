import { playableFrets } from '../phrase/instrument';
import { mapEventNotes, mapGraceNotes } from '../phrase/rebuild';
import type { Bend, PhraseEvent, PitchedNote } from '../phrase/types';
import { withEvents } from '../phrase/voices';
import { midiOf, type Pitch } from '../theory/pitch';
import { deadWords } from './change';
import { cannot, done, type Outcome } from './outcome';
import { type Chosen, chosenNotes } from './select';
import type { EditState, Names } from './state';

/** Where the sounds of a note go; each part is told with how far it lies above the note. */
export interface Shift {
  /** Semitones the note itself moves. */
  readonly by: number;
  /** Semitones a bend's target, a trill's upper note or a grace moves. */
  readonly part: (pitch: Pitch, kind: 'bend' | 'trill' | 'grace') => number;
  /** The name of a sound that a pitch moves to. */
  readonly name: (from: Pitch, midi: number) => Pitch;
}

/**
 * Moves every chosen note with pitch along its string, with its bend, its trill and the graces
 * before it on that string. A sound a note had before is called what it was called then, so that
 * there and back is where it was. All or nothing.
 */
export function shiftNotes(
  s: EditState,
  plan: (n: PitchedNote, at: Chosen) => Shift | string,
  say: string,
): Outcome {
  const chosen = chosenNotes(s);
  if (chosen.length === 0) return cannot('no note is chosen');
  const names: Record<string, Pitch> = { ...s.names };
  const events = new Map<number, PhraseEvent>();
  for (const at of chosen) {
    if (at.note.kind === 'dead') continue;
    const shift = plan(at.note, at);
    if (typeof shift === 'string') return cannot(shift);
    const event = events.get(at.eventIndex) ?? at.event;
    const moved = moveNote(s, event, at.note, shift, names);
    if (typeof moved === 'string') return cannot(moved);
    events.set(at.eventIndex, moved);
  }
  if (events.size === 0) return cannot('a dead note has no pitch');
  const dead = chosen.filter((c) => c.note.kind === 'dead').length;
  const phrase = withEvents(s.phrase, s.selection.voice, (all) =>
    all.map((e, i) => events.get(i) ?? e),
  );
  return done({ ...s, phrase, names }, say + deadWords(dead));
}

function moveNote(
  s: EditState,
  e: PhraseEvent,
  n: PitchedNote,
  shift: Shift,
  names: Record<string, Pitch>,
): PhraseEvent | string {
  if (n.harmonic?.kind === 'natural') return 'a natural harmonic belongs to its node';
  const top = playableFrets(s.phrase.instrument);
  const fret = n.fret + shift.by;
  if (fret < 0 || fret > top) return `string ${n.string} has no fret ${fret}`;
  const move = (part: string, pitch: Pitch, by: number) => {
    const key = `${n.id} ${part}`;
    names[`${key} ${midiOf(pitch)}`] = pitch;
    const midi = midiOf(pitch) + by;
    return recall(s.names, `${key} ${midi}`) ?? shift.name(pitch, midi);
  };
  const { bend, trill } = n;
  const next: PitchedNote = {
    ...n,
    fret,
    pitch: move('note', n.pitch, shift.by),
    ...(bend === undefined ? {} : { bend: moveBend(bend, shift, move) }),
    ...(trill === undefined
      ? {}
      : { trill: { upper: move('trill', trill.upper, shift.part(trill.upper, 'trill')) } }),
  };
  let out: number | null = null;
  const moved = mapGraceNotes(e, (m, i) => {
    if (m.string !== n.string) return m;
    const by = shift.part(m.pitch, 'grace');
    if (m.fret + by < 0 || m.fret + by > top) out = m.fret + by;
    return { ...m, fret: m.fret + by, pitch: move(`grace ${i}`, m.pitch, by) };
  });
  if (out !== null) return `string ${n.string} has no fret ${out} for the grace note`;
  return mapEventNotes(moved, (m) => (m.id === n.id ? next : m));
}

function moveBend(
  bend: Bend,
  shift: Shift,
  move: (part: string, pitch: Pitch, by: number) => Pitch,
): Bend {
  if (bend.shape === 'curl') return bend;
  return { ...bend, target: move('bend', bend.target, shift.part(bend.target, 'bend')) };
}

function recall(names: Names | undefined, key: string): Pitch | null {
  return names !== undefined && Object.hasOwn(names, key) ? names[key]! : null;
}

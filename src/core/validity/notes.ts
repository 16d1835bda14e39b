import { expectedMidi, HARMONIC_NODES } from '../phrase/instrument';
import type { Note, Phrase, Ticks, Voice } from '../phrase/types';
import { endOf } from '../phrase/walk';
import type { Findings } from './findings';
import { checkGraces } from './graces';
import { checkFret, checkOrder, checkPitch, NotePlace } from './place';
import { checkStriking } from './striking';
import { checkDead, checkTechniques } from './techniques';

/** Ids, strings, frets and pitches of all notes, and what they carry. */
export function checkNotes(p: Phrase, out: Findings): void {
  const ids: Seen = new Map();
  p.voices.forEach((v, voice) => {
    v.events.forEach((event, eventIndex) => {
      const pointer = () => `/voices/${voice}/events/${eventIndex}`;
      checkOrder(event.notes, () => `${pointer()}/notes`, event, out);
      event.notes.forEach((note, n) => {
        const where = () => `${pointer()}/notes/${n}`;
        const place = new NotePlace(p, v.events, eventIndex, where, note, out);
        checkId(note, event.onset, ids, place, out);
        const lies = checkFret(note, place);
        if (lies && note.kind === 'dead') checkDead(note, place);
        if (lies && note.kind === 'pitched') {
          if (note.harmonic?.kind === 'natural') checkNode(note.fret, note.harmonic.above, place);
          checkPitch(note.pitch, expectedMidi(p.instrument, note), place);
          checkTechniques(note, place);
        }
      });
      checkGraces(p, v.events, eventIndex, pointer, out);
      checkStriking(p, event, pointer, out);
    });
  });
  checkOneANoteAString(p, out);
}

/** Where each id was met first. */
type Seen = Map<string, { readonly onset: Ticks; readonly string: number }>;

function checkId(note: Note, onset: Ticks, ids: Seen, place: NotePlace, out: Findings): void {
  const first = ids.get(note.id);
  if (first === undefined) ids.set(note.id, { onset, string: note.string });
  else {
    place.report(
      `the id '${note.id}' already names the note in ${out.words(first.onset)}, string ${first.string}`,
      'Give each note an id of its own.',
      'id',
    );
  }
}

function checkNode(fret: number, above: 12 | 19 | 24, place: NotePlace): void {
  if (HARMONIC_NODES[fret] === above) return;
  const nodes = Object.keys(HARMONIC_NODES).filter((f) => HARMONIC_NODES[Number(f)] === above);
  place.report(
    `no natural harmonic ${above} semitones above the open string lies over fret ${fret}`,
    `Touch it over fret ${nodes.join(' or ')}.`,
    'harmonic',
  );
}

/** N3: one note a string at a time, across the voices too. */
function checkOneANoteAString(p: Phrase, out: Findings): void {
  const [upper, lower] = p.voices;
  // Where a voice is out of order, which is reported, everything would overlap with everything.
  if (lower === undefined || !isInOrder(upper) || !isInOrder(lower)) return;
  let from = 0;
  for (const a of upper.events) {
    while (from < lower.events.length && endOf(lower.events[from]!) <= a.onset) from++;
    for (let j = from; j < lower.events.length && lower.events[j]!.onset < endOf(a); j++) {
      const b = lower.events[j]!;
      const note = b.notes.findIndex((n) => a.notes.some((m) => m.string === n.string));
      if (note < 0) continue;
      const { string } = b.notes[note]!;
      out.add({
        pointer: `/voices/1/events/${j}/notes/${note}/string`,
        message: `string ${string} sounds in both voices at once, in the first from ${out.words(a.onset)} and in the second from ${out.words(b.onset)}`,
        fix: 'Put one of the notes on another string, or shorten the first.',
        onset: Math.max(a.onset, b.onset),
        string,
      });
    }
  }
}

function isInOrder(v: Voice): boolean {
  return v.events.every((e, i) => {
    const before = v.events[i - 1];
    return e.duration > 0 && (before === undefined || e.onset >= endOf(before));
  });
}

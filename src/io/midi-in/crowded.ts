import type { Instrument, Ticks } from '../../core/phrase/types';
import { midiOf } from '../../core/theory/pitch';
import type { BuiltEvent, BuiltNote } from '../musicxml/read/built';
import type { ImportLog } from '../musicxml/read/log';
import { matchStrings } from '../musicxml/read/place';

/**
 * Voices that the strings of the instrument can sound. Of a chord of a keyboard that they have no room
 * for, the highest and the lowest note are kept first, what another one doubles in an octave goes first
 * (*common practice* of arranging). What is left out is logged.
 */
export function withinStrings(
  voices: readonly (readonly BuiltEvent[])[],
  instrument: Instrument,
  log: ImportLog,
): readonly (readonly BuiltEvent[])[] {
  const kept = new Map<BuiltEvent, readonly BuiltNote[]>();
  const order = voices
    .flatMap((events, voice) => events.map((e) => ({ e, voice })))
    .sort((a, b) => a.e.event.onset - b.e.event.onset);
  // Events of one voice do not overlap, so only the last of the other one can still sound.
  const last: { readonly end: Ticks; readonly strings: readonly number[] }[] = [];
  for (const { e, voice } of order) {
    const { onset, duration } = e.event;
    const other = last[1 - voice];
    const held = other !== undefined && other.end > onset ? other.strings : [];
    const notes = byWeight(e.notes);
    let strings = stringsOf(notes, held, instrument);
    while (strings === null) {
      notes.pop();
      log.add('dropped', 'of what sounds at once, notes that no string is left for', { onset });
      strings = stringsOf(notes, held, instrument);
    }
    kept.set(e, notes);
    last[voice] = { end: onset + duration, strings };
  }
  return voices.map((events) =>
    events.flatMap((e) => {
      const notes = e.notes.filter((n) => kept.get(e)!.includes(n));
      return notes.length === 0 ? [] : [{ ...e, notes }];
    }),
  );
}

/** The notes of a moment, those that are missed most first: highest, lowest, then from the top down, doubled ones last. */
function byWeight(notes: readonly BuiltNote[]): BuiltNote[] {
  const fromTop = [...notes].sort((a, b) => midi(b) - midi(a));
  const [top, ...below] = fromTop;
  const bass = below.pop();
  const classes = new Set([top, bass].flatMap((n) => (n === undefined ? [] : [midi(n) % 12])));
  const once: BuiltNote[] = [];
  const doubled: BuiltNote[] = [];
  for (const n of below) {
    (classes.has(midi(n) % 12) ? doubled : once).push(n);
    classes.add(midi(n) % 12);
  }
  return [top, bass, ...once, ...doubled].flatMap((n) => n ?? []);
}

function midi({ note }: BuiltNote): number {
  return note.kind === 'pitched' ? midiOf(note.pitch) : 0;
}

/** A string for each note, or null where there are not enough. */
function stringsOf(
  notes: readonly BuiltNote[],
  held: readonly number[],
  i: Instrument,
): readonly number[] | null {
  const own = notes.flatMap((n) => (n.placed ? [n.note.string] : []));
  const free = notes.flatMap(({ note, placed }) =>
    placed || note.kind === 'dead' ? [] : [{ id: note.id, pitch: note.pitch }],
  );
  const found = matchStrings(free, new Set([...held, ...own]), i);
  return found === null ? null : [...own, ...[...found.values()].map((p) => p.string)];
}

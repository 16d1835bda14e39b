import type { PitchedNote } from '../../../core/phrase/types';
import { midiOf } from '../../../core/theory/pitch';
import { needsSource } from '../misc';
import type { BuiltEvent, BuiltNote } from './built';
import type { ImportLog } from './log';

/**
 * Takes hammer-ons, pull-offs and slides from notes that have none to start from: for notes whose
 * string is still to be chosen, pitch alone tells. A hammer-on that goes down is a pull-off and the
 * other way round. Logged.
 */
export function mendLegato(events: readonly BuiltEvent[], log: ImportLog): readonly BuiltEvent[] {
  return events.map((event, i) => {
    const legato = event.notes.some((n) => !n.placed && attackOf(n) !== undefined);
    if (!legato) return event;
    const sources = sourcesOf(events, i);
    return { ...event, notes: event.notes.map((n) => mendNote(n, sources, event, log)) };
  });
}

function attackOf(n: BuiltNote): PitchedNote['attack'] {
  return n.note.kind === 'pitched' && needsSource(n.note.attack) ? n.note.attack : undefined;
}

/** MIDI numbers of the notes an event's legato can start from. */
function sourcesOf(events: readonly BuiltEvent[], i: number): readonly number[] {
  const event = events[i]!;
  const grace = event.graces.at(-1);
  if (grace !== undefined) return grace.map((g) => midiOf(g.note.pitch));
  const before = events[i - 1];
  if (before === undefined) return [];
  if (before.event.onset + before.event.duration !== event.event.onset) return [];
  return before.notes.flatMap((n) => (n.note.kind === 'pitched' ? [midiOf(n.note.pitch)] : []));
}

function mendNote(
  n: BuiltNote,
  sources: readonly number[],
  event: BuiltEvent,
  log: ImportLog,
): BuiltNote {
  const { note } = n;
  if (n.placed || note.kind !== 'pitched' || !needsSource(note.attack)) return n;
  const midi = midiOf(note.pitch);
  const up = sources.some((s) => s < midi);
  const down = sources.some((s) => s > midi);
  const { attack, ...plucked } = note;
  const fits = attack === 'hammer-on' ? up : attack === 'pull-off' ? down : up || down;
  if (fits) return n;
  const found = { onset: event.event.onset };
  if (up || down) {
    const other = up ? 'hammer-on' : 'pull-off';
    log.add('mended', `a ${attack} the wrong way is read as a ${other}`, found);
    return { ...n, note: { ...note, attack: other } };
  }
  log.add('mended', `a ${attack} without a note to start from is plucked`, found);
  return { ...n, note: plucked };
}

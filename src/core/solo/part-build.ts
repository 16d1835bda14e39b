import { applyFingering } from '../neck/apply';
import { problemOf } from '../neck/problem-of';
import { findFingerings } from '../neck/solve';
import { openMidi } from '../phrase/instrument';
import { byString, mapNonEmpty } from '../phrase/rebuild';
import type { Grace, Note, NoteId, Phrase, PhraseEvent, PitchedNote, Voice } from '../phrase/types';
import { endOf, notesOf } from '../phrase/walk';
import { fail, ok, type Result } from '../result';
import { intervalBetween, transpose } from '../theory/interval';
import { midiOf } from '../theory/pitch';
import { type MomentMusic, musicOf } from './laid';
import type { PartFound } from './part-now';

/**
 * The source with what was changed in its part: moments that are as they were given stay as the source
 * has them, with what lies behind the cut; the others are those of `back`, and find their places on the
 * neck beside what stays.
 * @param back The part over the source's own chords, in the octaves of the source.
 */
export function sourceWith(found: PartFound, back: Phrase): Result<Phrase> {
  const { source, given, now, part } = found;
  const was = new Map(notesOf(source).map((n) => [n.note.id, n]));
  const moments = new Map(musicOf(given).flatMap((m) => m.notes.map((n) => [n.id, m])));
  const backNotes = new Map(notesOf(back).map((n) => [n.note.id, n.note]));
  const free = new Set<NoteId>();
  const voices: Voice[] = [];
  for (const [i, v] of now.entries()) {
    const events: PhraseEvent[] = [];
    for (const e of v.events) {
      const [music] = musicOf([{ events: [e] }]);
      const before = moments.get(e.notes[0].id);
      const own = was.get(e.notes[0].id);
      if (own?.voice === i && before !== undefined && alike(before, music!)) {
        events.push(own.event);
        continue;
      }
      const made = changed({ e, i, found, own, before, was, backNotes, free });
      if (!made.ok) return made;
      events.push(made.value);
    }
    const old = source.voices[i];
    const rest =
      part.until === undefined ? [] : (old?.events ?? []).filter((e) => e.onset >= part.until!);
    const behind =
      part.until === undefined ? [] : (old?.tuplets ?? []).filter((t) => t.onset >= part.until!);
    const all = [...events, ...rest].sort((a, b) => a.onset - b.onset);
    const untouched = old !== undefined && JSON.stringify(all) === JSON.stringify(old.events);
    voices.push(untouched ? old : { events: all, tuplets: [...v.tuplets, ...behind] });
  }
  const [first, second] = voices;
  const made: Phrase = { ...source, voices: second === undefined ? [first!] : [first!, second] };
  return free.size === 0 ? ok(made) : placed(made, free);
}

/** Whether two moments are the same but for their place in the list of voices. */
function alike(a: MomentMusic, b: MomentMusic): boolean {
  return JSON.stringify({ ...a, voice: 0 }) === JSON.stringify({ ...b, voice: 0 });
}

interface Change {
  readonly e: PhraseEvent;
  readonly i: number;
  readonly found: PartFound;
  readonly own: { readonly event: PhraseEvent } | undefined;
  readonly before: MomentMusic | undefined;
  readonly was: ReadonlyMap<NoteId, { readonly note: Note }>;
  readonly backNotes: ReadonlyMap<NoteId, Note>;
  /** Notes that need a place on the neck are put in here. */
  readonly free: Set<NoteId>;
}

function changed(c: Change): Result<PhraseEvent> {
  const { e, found, own, before, was, backNotes, free } = c;
  const givenNotes = new Map(before?.notes.map((n) => [n.id, n]));
  const [music] = musicOf([{ events: [e] }]);
  const notes: Note[] = [];
  for (const n of e.notes) {
    const source = was.get(n.id)?.note;
    const here = music!.notes.find((m) => m.id === n.id)!;
    const samePitches =
      JSON.stringify(givenNotes.get(n.id)?.midi) === JSON.stringify(here.midi) &&
      source?.kind === n.kind;
    if (samePitches && source !== undefined) {
      notes.push(withSigns(source, n));
      continue;
    }
    const moved = backNotes.get(n.id);
    if (moved === undefined) return fail({ message: 'a note is lost on the way back' });
    free.add(n.id);
    notes.push(unplaced(found.source, moved, n));
  }
  // Where the next part cut it short its own length was never seen here.
  const { part } = found;
  const cut = own !== undefined && part.until !== undefined && endOf(own.event) > part.until;
  const duration = cut && endOf(e) === part.until ? own.event.duration : e.duration;
  const graces = e.graces === undefined ? undefined : gracesBack(e, notes, own?.event, free);
  if (graces === null) {
    return fail({ message: 'a grace note has no note on its string that it leads to' });
  }
  const { graces: _, ...rest } = e;
  return ok({
    ...rest,
    duration,
    notes: byString(notes),
    ...(graces === undefined ? {} : { graces }),
  });
}

/** The source's note at its place with its pitches, and what else was written on it in the whole. */
function withSigns(source: Note, n: Note): Note {
  if (source.kind === 'dead' || n.kind === 'dead')
    return { ...n, string: source.string, fret: source.fret };
  const { pitch, string, fret, bend, trill, finger, pluck, pinned, anticipation } = source;
  const own = Object.entries({ trill, finger, pluck, pinned, anticipation });
  const { finger: _, pluck: __, pinned: ___, anticipation: ____, ...signs } = n;
  const target = bend !== undefined && bend.shape !== 'curl' ? { target: bend.target } : {};
  return {
    ...signs,
    ...{ pitch, string, fret },
    ...(n.bend === undefined
      ? {}
      : { bend: { ...n.bend, ...target } as NonNullable<PitchedNote['bend']> }),
    ...Object.fromEntries(own.filter(([, value]) => value !== undefined)),
  };
}

/** A note whose place is still to be sought, on the string it has in the whole. */
function unplaced(source: Phrase, moved: Note, n: Note): Note {
  if (moved.kind === 'dead' || n.kind === 'dead') return moved;
  const { finger: _, pinned: __, ...rest } = moved;
  const fret = Math.max(0, midiOf(rest.pitch) - openMidi(source.instrument, n.string));
  return { ...rest, string: n.string, fret };
}

/** Graces as far from the note they lead to as they are in the whole (M11); the source's own where that note stays. */
function gracesBack(
  e: PhraseEvent,
  notes: readonly Note[],
  own: PhraseEvent | undefined,
  free: ReadonlySet<NoteId>,
): PhraseEvent['graces'] | null {
  if (e.graces === undefined) return undefined;
  const stays = e.notes.every((n) => !free.has(n.id));
  if (stays && own?.graces !== undefined) return own.graces;
  let lost = false;
  const graces = mapNonEmpty(
    e.graces,
    (g): Grace => ({
      notes: mapNonEmpty(g.notes, (x) => {
        const main = e.notes.find((n) => n.string === x.string);
        const to = notes.find((n) => n.id === main?.id);
        if (main?.kind !== 'pitched' || to?.kind !== 'pitched') {
          lost = true;
          return x;
        }
        const pitch = transpose(to.pitch, intervalBetween(main.pitch, x.pitch));
        if (pitch === null) lost = true;
        const semitones = midiOf(x.pitch) - midiOf(main.pitch);
        return { ...x, pitch: pitch ?? x.pitch, string: to.string, fret: to.fret + semitones };
      }),
    }),
  );
  return lost ? null : graces;
}

/** The notes that are free find places; all others stay where they are. */
function placed(p: Phrase, free: ReadonlySet<NoteId>): Result<Phrase> {
  const fixed = new Map(
    notesOf(p).flatMap(({ note }) => (free.has(note.id) ? [] : [[note.id, note] as const])),
  );
  const problem = problemOf(p, {
    wishes: (id) => {
      const n = fixed.get(id);
      return n === undefined ? undefined : { onlyString: n.string, onlyFret: n.fret };
    },
  });
  const [best] = findFingerings(problem);
  return best === undefined
    ? fail({ message: 'in its source the notes find no place on the neck beside the others' })
    : ok(applyFingering(p, best));
}

import type { Note, Phrase, PhraseEvent, Role, Ticks } from '../../phrase/types';
import { endOf } from '../../phrase/walk';
import type { ChordSymbol } from '../../theory/chord-model';
import type { Degree } from '../../theory/degree';
import { type Midi, midiOf } from '../../theory/pitch';
import { analyse } from '../../understand/analyse';

/** A note with what is asked of it. */
export interface LineNote {
  readonly note: Note;
  /** What is heard (D5); null for a dead note, as are the degrees. */
  readonly midi: Midi | null;
  /** Fretted start and heard target (D5), against the owner chord or else the key. */
  readonly degrees: readonly Degree[];
  /** The same, against the tonic. */
  readonly keyDegrees: readonly Degree[];
  /** Null without a lane and under N.C. */
  readonly owner: ChordSymbol | null;
  readonly role: Role | null;
}

/** What is struck at one moment of a voice. */
export interface LineEvent {
  readonly event: PhraseEvent;
  readonly notes: readonly LineNote[];
  /** Silence since the event before; 0 before the first. */
  readonly rest: Ticks;
  /** The highest pitch that is heard; null where all notes are dead. */
  readonly top: Midi | null;
}

const known = new WeakMap<Phrase, readonly (readonly LineEvent[])[]>();

/** The voices of a phrase as lines of events; remembered as long as the phrase itself. */
export function linesOf(p: Phrase): readonly (readonly LineEvent[])[] {
  const before = known.get(p);
  if (before !== undefined) return before;
  const lines = readLines(p);
  known.set(p, lines);
  return lines;
}

function readLines(p: Phrase): readonly (readonly LineEvent[])[] {
  const analysis = analyse(p);
  return p.voices.map((voice) =>
    voice.events.map((event, i): LineEvent => {
      const before = voice.events[i - 1];
      const notes = event.notes.map((note): LineNote => {
        const r = analysis.byId.get(note.id);
        if (r === undefined) {
          return { note, midi: null, degrees: [], keyDegrees: [], owner: null, role: null };
        }
        const both = [r.start, r.heard];
        return {
          note,
          midi: midiOf(r.heard.pitch),
          degrees: both.map((x) => x.chordDegree ?? x.keyDegree),
          keyDegrees: both.map((x) => x.keyDegree),
          owner: r.owner === null ? null : (p.chords[r.owner.index]?.symbol ?? null),
          role: r.role,
        };
      });
      const heights = notes.flatMap((n) => n.midi ?? []);
      return {
        event,
        notes,
        rest: before === undefined ? 0 : event.onset - endOf(before),
        top: heights.length === 0 ? null : Math.max(...heights),
      };
    }),
  );
}

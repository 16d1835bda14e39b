import { fretFor } from '../../phrase/instrument';
import { byString } from '../../phrase/rebuild';
import type { PitchedNote } from '../../phrase/types';
import { withEvents } from '../../phrase/voices';
import { midiOf, type Pitch } from '../../theory/pitch';
import { spellAt } from '../../understand/spell';
import { chosenEvents, freshId } from '../select';
import type { EditState } from '../state';

/** Widths a unison bend is made with: a whole tone; three semitones where the neck ends too soon for that. */
const WIDTHS = [2, 3] as const;

/** Frets between the two at most, so that one hand holds them; strings need not descend (P4). */
const NEAR = 5;

/**
 * The state with the second note of a unison bend beside a single one, both chosen; or why there is
 * none. A plain note is what is heard: the string below it gets the note that will be bent up to it,
 * two frets above where the strings are a major third apart, three where they are a fourth
 * (MUSIC.md 7.4). A note that is bent already gets its target, plain, on the string above.
 */
export function partnered(s: EditState, note: PitchedNote): EditState | string {
  if (note.harmonic !== undefined) return 'a harmonic is no part of a unison bend';
  if (note.trill !== undefined) return 'a note with a trill is no part of a unison bend';
  const at = chosenEvents(s)[0]!;
  const made = note.bend === undefined ? bentBelow(s, note) : targetAbove(s, note);
  if (typeof made === 'string') return made;
  if (at.event.notes.some((n) => n.string === made.string)) {
    return `string ${made.string} is struck already`;
  }
  const { string, fret } = made;
  const pitch = made.pitch ?? spellAt(s.phrase, at.event.onset, made.midi);
  const added: PitchedNote = { kind: 'pitched', id: freshId(s.phrase), string, fret, pitch };
  const phrase = withEvents(s.phrase, s.selection.voice, (events) =>
    events.map((e) =>
      e.onset === at.event.onset ? { ...e, notes: byString([...e.notes, added]) } : e,
    ),
  );
  return { ...s, phrase, selection: { ...s.selection, corner: null, fresh: [note.id, added.id] } };
}

interface Partner {
  readonly string: number;
  readonly fret: number;
  readonly midi: number;
  /** Its name, where that is told by the other note. */
  readonly pitch?: Pitch;
}

/** Where the note to be bent lies under a plain one. */
function bentBelow(s: EditState, note: PitchedNote): Partner | string {
  const { instrument } = s.phrase;
  const string = note.string + 1;
  if (string > instrument.tuning.length) return `no string lies below string ${note.string}`;
  for (const width of WIDTHS) {
    const midi = midiOf(note.pitch) - width;
    const fret = fretFor(instrument, string, midi);
    if (fret !== null && fret > 0 && Math.abs(fret - note.fret) <= NEAR) {
      return { string, fret, midi };
    }
  }
  return `string ${string} has no fret that bends up to it`;
}

/** Where the target of a bent note lies on the string above it. */
function targetAbove(s: EditState, note: PitchedNote): Partner | string {
  const { bend } = note;
  if (bend === undefined || bend.shape === 'curl') {
    return 'a note that is curled reaches no other note';
  }
  const { instrument } = s.phrase;
  const string = note.string - 1;
  if (string < 1) return `no string lies above string ${note.string}`;
  const midi = midiOf(bend.target);
  const fret = fretFor(instrument, string, midi);
  if (fret === null) {
    return `string ${string} does not have the note that it is bent to`;
  }
  return { string, fret, midi, pitch: bend.target };
}

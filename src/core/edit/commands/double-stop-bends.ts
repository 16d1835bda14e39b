import { nameOfPitch } from '../../move/naming';
import type { Note, NoteId, PitchedNote } from '../../phrase/types';
import { bendSemitones } from '../../phrase/walk';
import { midiOf } from '../../theory/pitch';
import { changePitched, withField } from '../change';
import { defineCommand } from '../command';
import { cannot, done, type Outcome } from '../outcome';
import { chosenEvents, chosenNotes } from '../select';
import type { EditState } from '../state';
import { bent } from './bends';
import { partnered } from './unison-partner';

/**
 * A unison bend: the lower of two chosen notes is bent to the higher; of one note the other is made,
 * on the string beside it.
 */
export const bendToUnison = defineCommand<undefined>({
  id: 'bend.unison',
  group: 'Bends',
  title: 'Make it a unison bend',
  words: 'unison bend double stop two strings lower to the higher',
  ask: { kind: 'nothing' },
  // Two strings that run together into one.
  keys: [{ key: 'y', value: undefined }],
  apply: (s) => {
    if (chosenEvents(s).length > 1) return cannot('the two notes must be struck together');
    const pitched = chosenNotes(s).flatMap((c) => (c.note.kind === 'pitched' ? [c.note] : []));
    const [one, two] = pitched;
    if (one === undefined) return cannot('no note with pitch is chosen');
    if (two === undefined) {
      const [a, b, ...more] = chosenEvents(s)[0]!.event.notes.filter((n) => n.kind === 'pitched');
      if (b === undefined || more.length > 0) return withPartner(s, one);
      // Of a pair one is enough: it was typed string by string.
      return toHigher(bothChosen(s, [a!.id, b.id]), a!, b);
    }
    if (pitched.length > 2) return cannot('a unison bend has two notes');
    return toHigher(s, one, two);
  },
});

function bothChosen(s: EditState, fresh: readonly NoteId[]): EditState {
  return { ...s, selection: { ...s.selection, corner: null, fresh } };
}

/** Two notes struck together, the lower bent to the higher. */
function toHigher(s: EditState, a: PitchedNote, b: PitchedNote): Outcome {
  const [low, high] = midiOf(a.pitch) < midiOf(b.pitch) ? [a, b] : [b, a];
  const width = midiOf(high.pitch) - midiOf(low.pitch);
  if (width === 0) return cannot('they sound alike already');
  return changePitched(
    s,
    (n, at) => {
      if (n.id !== low.id) return n;
      const up = bent(s, n, at, 'bend', width);
      if (typeof up === 'string' || up.bend === undefined || up.bend.shape === 'curl') return up;
      return { ...up, bend: { ...up.bend, target: high.pitch } };
    },
    unisonWords(high),
    'it is bent to the higher note already',
  );
}

/** The one that is held, which the cursor does not stand on: `unison bend with G on string 2, fret 8`. */
function unisonWords(held: PitchedNote): string {
  const fret = held.fret === 0 ? 'open' : `fret ${held.fret}`;
  return `unison bend with ${nameOfPitch(held.pitch)} on string ${held.string}, ${fret}`;
}

/** One note with the other of a unison bend beside it. */
function withPartner(s: EditState, note: PitchedNote): Outcome {
  const made = partnered(s, note);
  if (typeof made === 'string') return cannot(made);
  // It keeps the bend it has, which goes to the note beside it now.
  const [a, b] = chosenNotes(made).map((c) => c.note as PitchedNote);
  const other = a!.string === note.string ? b! : a!;
  if (note.bend !== undefined) return done(made, unisonWords(other));
  return toHigher(made, a!, b!);
}

/**
 * An oblique bend (*common practice*): of two notes struck together one is bent and the other held.
 * The one that is held is struck plain; the other keeps the bend it has, else it goes up a whole tone.
 */
export const bendOblique = defineCommand<'lower' | 'higher'>({
  id: 'bend.oblique',
  group: 'Bends',
  title: 'Hold one note of the double stop and bend',
  words: 'oblique bend double stop pedal',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'lower', title: 'the lower' },
      { value: 'higher', title: 'the higher' },
    ],
  },
  apply: (s, which) => {
    const bending = bendingOf(s, which);
    if (typeof bending === 'string') return cannot(bending);
    return changePitched(
      s,
      (n, at) => {
        if (!bending.has(n.id)) return withField(n, 'bend', undefined);
        const up = n.bend !== undefined && n.bend.shape !== 'curl';
        return up ? n : bent(s, n, at, 'bend', bendSemitones(n) || 2);
      },
      `oblique bend, the ${which} note bent`,
      `the ${which} note alone is bent already`,
    );
  },
});

/** The lower or higher note of every chosen pair; why there are none where other notes are chosen. */
function bendingOf(s: EditState, which: 'lower' | 'higher'): ReadonlySet<string> | string {
  const ids = new Set<string>();
  const chosen = new Set<Note>(chosenNotes(s).map((c) => c.note));
  for (const { event } of chosenEvents(s)) {
    const pair = event.notes.filter((n): n is PitchedNote => n.kind === 'pitched' && chosen.has(n));
    const [a, b] = pair;
    if (a === undefined || b === undefined || pair.length > 2) {
      return 'two notes with pitch must be chosen at each moment';
    }
    // Of two that sound alike the one on the lower string counts as the lower.
    const [low, high] = midiOf(a.pitch) < midiOf(b.pitch) ? [a, b] : [b, a];
    ids.add(which === 'lower' ? low.id : high.id);
  }
  return ids;
}

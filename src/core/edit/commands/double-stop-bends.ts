import type { Note, PitchedNote } from '../../phrase/types';
import { bendSemitones } from '../../phrase/walk';
import { midiOf } from '../../theory/pitch';
import { changePitched, withField } from '../change';
import { defineCommand } from '../command';
import { cannot } from '../outcome';
import { chosenEvents, chosenNotes } from '../select';
import type { EditState } from '../state';
import { bent } from './bends';

/** The lower of two chosen notes is bent to the higher: a unison bend. */
export const bendToUnison = defineCommand<undefined>({
  id: 'bend.unison',
  group: 'Bends',
  title: 'Bend the lower note to the higher',
  words: 'unison bend double stop',
  ask: { kind: 'nothing' },
  apply: (s) => {
    if (chosenEvents(s).length > 1) return cannot('the two notes must be struck together');
    const pitched = chosenNotes(s).flatMap((c) => (c.note.kind === 'pitched' ? [c.note] : []));
    if (pitched.length !== 2) return cannot('two notes with pitch must be chosen');
    const [low, high] = [...pitched].sort((a, b) => midiOf(a.pitch) - midiOf(b.pitch)) as [
      PitchedNote,
      PitchedNote,
    ];
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
      'unison bend',
      'it is bent to the higher note already',
    );
  },
});

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

import type { Command } from '../../core/edit/command';
import { bendNext, bendShape } from '../../core/edit/commands/bends';
import { legato, setAttack } from '../../core/edit/commands/left-hand';
import { bySemitone } from '../../core/edit/commands/moving';
import { otherOctave, otherString } from '../../core/edit/commands/other-place';
import { runCommand } from '../../core/edit/run';
import { chosenNotes } from '../../core/edit/select';
import type { EditState } from '../../core/edit/state';
import type { PitchedNote } from '../../core/phrase/types';

/** What a note may be instead, by one command of the table. */
export interface Candidate {
  /** What the command says it does: `octave 3`, `fret 7 on string 3`. */
  readonly words: string;
  readonly command: Command;
  readonly value: unknown;
}

/**
 * What the one chosen note may be instead, of what is heard wrong most often: the octave, the pitch, the
 * string, how it begins, whether it is bent. Only what can be done.
 */
export function candidatesFor(state: EditState): readonly Candidate[] {
  const [one, ...more] = chosenNotes(state);
  if (one === undefined || more.length > 0 || one.note.kind !== 'pitched') return [];
  return waysOf(one.note).flatMap(({ command, value }) => {
    const outcome = runCommand(state, command, value);
    const changes = outcome.kind === 'done' && outcome.state.phrase !== state.phrase;
    return changes ? [{ words: outcome.say, command, value }] : [];
  });
}

function waysOf(note: PitchedNote): readonly Omit<Candidate, 'words'>[] {
  const way = (command: Command, value?: unknown) => ({ command, value });
  return [
    way(otherOctave),
    way(bySemitone, -1),
    way(bySemitone, 1),
    way(otherString),
    note.attack === undefined ? way(legato) : way(setAttack, 'pluck'),
    ...(note.attack === undefined ? [way(setAttack, 'slide')] : []),
    note.bend === undefined ? way(bendNext) : way(bendShape, 'none'),
  ];
}

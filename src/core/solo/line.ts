import type { JoinNote } from '../joins/sketch';
import type { Phrase } from '../phrase/types';
import { endOf, heardPitch } from '../phrase/walk';
import { midiOf } from '../theory/pitch';

/** The line of a phrase as joins hear it: of what is struck together the highest, bends at their target. */
export function lineOf(p: Phrase): readonly JoinNote[] {
  return p.voices[0].events.flatMap((e) => {
    const heard = e.notes.flatMap((n) => (n.kind === 'pitched' ? [midiOf(heardPitch(n))] : []));
    if (heard.length === 0) return [];
    return [{ onset: e.onset, duration: endOf(e) - e.onset, midi: Math.max(...heard) }];
  });
}

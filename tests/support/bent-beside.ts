import { fretFor } from '../../src/core/phrase/instrument';
import { byString, mapEvents } from '../../src/core/phrase/rebuild';
import type { Bend, Note, Phrase, PhraseEvent, PitchedNote } from '../../src/core/phrase/types';
import { bendSemitones } from '../../src/core/phrase/walk';
import { midiOf } from '../../src/core/theory/pitch';
import { spellAt } from '../../src/core/understand/spell';
import type { Dice } from './generate/dice';

/** A finger holds a note this many frets from one that bends, at most. */
const REACH = 4;

/**
 * The phrase with a note on the next string beside some of its bends: held where the bend arrives (two strings on one
 * pitch), held a third to a sixth over that, or bent as far and at once.
 * @param share How many of the bends, 0 to 1.
 */
export function bentBeside(p: Phrase, share: number, dice: Dice): Phrase {
  return mapEvents(p, (e) => {
    const [n, ...others] = e.notes;
    if (others.length > 0 || n.kind !== 'pitched' || n.bend === undefined) return e;
    if (n.bend.shape === 'curl' || !dice.chance(share)) return e;
    const beside = noteBeside(p, e, n, n.bend, dice);
    return beside === null ? e : { ...e, notes: byString<Note>([n, beside]) };
  });
}

function noteBeside(
  p: Phrase,
  { onset }: PhraseEvent,
  n: PitchedNote,
  bend: Exclude<Bend, { readonly shape: 'curl' }>,
  dice: Dice,
): PitchedNote | null {
  const width = bendSemitones(n);
  const over = dice.weighted([50, 25, 25]);
  const higher = [0, dice.int(3, 9), dice.int(3, 5) - width][over]!;
  const midi = midiOf(bend.target) + higher;
  const string = n.string - 1;
  const fret = string < 1 ? null : fretFor(p.instrument, string, midi);
  if (fret === null || fret < 1 || Math.abs(fret - n.fret) > REACH) return null;
  const note: PitchedNote = {
    kind: 'pitched',
    id: `${n.id}-beside`,
    pitch: spellAt(p, onset, midi),
    string,
    fret,
  };
  return over < 2 ? note : { ...note, bend: { ...bend, target: spellAt(p, onset, midi + width) } };
}

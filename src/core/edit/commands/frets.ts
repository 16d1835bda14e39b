import { openMidi, playableFrets } from '../../phrase/instrument';
import type { Note, PitchedNote } from '../../phrase/types';
import { midiOf, type Pitch } from '../../theory/pitch';
import { spellAt } from '../../understand/spell';
import { defineCommand } from '../command';
import { cannot, type Outcome } from '../outcome';
import { sameData } from '../same';
import { eventAt, voiceOf } from '../select';
import type { EditState } from '../state';
import { type After, freshIds, writeNotes } from '../write';

const DIGITS = ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9'] as const;
type Digit = (typeof DIGITS)[number];

/**
 * Types a fret into the cursor's cell. A second digit extends the first as long as the cursor is
 * not moved, where that is a fret of the neck; there is nothing to wait for.
 */
export const typeFret = defineCommand<Digit>({
  id: 'write.fret',
  group: 'Writing notes',
  title: 'Write fret',
  words: 'digit number note',
  ask: { kind: 'choice', choices: DIGITS.map((d) => ({ value: d, title: d })) },
  keys: DIGITS.map((d) => ({ key: d, value: d, reading: ['fret'] })),
  joins: true,
  apply: (s, digit) => {
    const top = playableFrets(s.phrase.instrument);
    const longer = s.selection.typed === '0' ? digit : s.selection.typed + digit;
    const typed = s.selection.typed !== '' && Number(longer) <= top ? longer : digit;
    const outcome = writeFret(s, Number(typed), typed);
    return outcome.kind === 'done' && sameData(outcome.state, s)
      ? cannot(`fret ${Number(typed)} is on string ${s.selection.cursor.string} already`)
      : outcome;
  },
});

/** Writes a fret on the cursor's string, at the cursor's moment. */
export function writeFret(s: EditState, fret: number, typed = '', after: After = 'stay'): Outcome {
  const { instrument } = s.phrase;
  const { cursor } = s.selection;
  const top = playableFrets(instrument);
  if (fret > top) {
    return cannot(
      `the neck ends at fret ${top}${instrument.capo > 0 ? ', counted from the capo' : ''}`,
    );
  }
  const old = noteInCell(s);
  const pitch = spellAt(s.phrase, cursor.onset, openMidi(instrument, cursor.string) + fret);
  const note = refretted(s, old, { string: cursor.string, fret, pitch, id: freshIds(s, 1)[0]! });
  return writeNotes(s, [note], after, `fret ${fret} on string ${cursor.string}`, typed);
}

/** The note in the cursor's cell, or null. */
export function noteInCell(s: EditState): Note | null {
  const { onset, string } = s.selection.cursor;
  return eventAt(voiceOf(s), onset)?.event.notes.find((n) => n.string === string) ?? null;
}

/**
 * A note at a place, with everything that was on the note there before. A bend and a trill keep
 * their width; a harmonic goes, since it belongs to its node.
 */
function refretted(
  s: EditState,
  old: Note | null,
  at: Pick<PitchedNote, 'string' | 'fret' | 'pitch' | 'id'>,
): PitchedNote {
  if (old === null || old.kind === 'dead') return { kind: 'pitched', ...at, id: old?.id ?? at.id };
  if (midiOf(old.pitch) === midiOf(at.pitch)) return old;
  const { bend, trill, harmonic, ...rest } = old;
  const above = (p: Pitch) =>
    spellAt(s.phrase, s.selection.cursor.onset, midiOf(at.pitch) + midiOf(p) - midiOf(old.pitch));
  return {
    ...rest,
    string: at.string,
    fret: at.fret,
    pitch: at.pitch,
    ...(bend === undefined
      ? {}
      : { bend: bend.shape === 'curl' ? bend : { ...bend, target: above(bend.target) } }),
    ...(trill === undefined ? {} : { trill: { upper: above(trill.upper) } }),
  };
}

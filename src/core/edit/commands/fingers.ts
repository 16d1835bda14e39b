import { openMidi, playableFrets } from '../../phrase/instrument';
import type { PitchedNote } from '../../phrase/types';
import { spellAt } from '../../understand/spell';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { freshIds, writeNotes } from '../write';
import { noteInCell } from './frets';

const FINGERS = ['0', '1', '2', '3', '4', '5'] as const;

/**
 * A finger of the hand where it lies: 1 is the index finger's fret, 5 a stretch of the little finger
 * one fret further, 0 the open string. One key a note, and the cursor goes on by itself.
 */
export const typeFinger = defineCommand<(typeof FINGERS)[number]>({
  id: 'write.finger',
  group: 'Writing notes',
  title: 'Write what lies under finger',
  words: 'hand position fret',
  ask: {
    kind: 'choice',
    choices: FINGERS.map((f) => ({
      value: f,
      title: f === '0' ? '0, the open string' : f === '5' ? '5, a stretch of the fourth' : f,
    })),
  },
  keys: FINGERS.map((f) => ({ key: f, value: f, reading: ['finger'] as const })),
  apply: (s, text) => {
    const number = Number(text);
    const { cursor } = s.selection;
    const { instrument } = s.phrase;
    const fret = number === 0 ? 0 : s.pen.hand + number - 1;
    if (fret > playableFrets(instrument)) return cannot('the neck ends before this finger');
    const finger = number === 0 ? {} : { finger: Math.min(number, 4) as 1 | 2 | 3 | 4 };
    const note: PitchedNote = {
      kind: 'pitched',
      id: noteInCell(s)?.id ?? freshIds(s, 1)[0]!,
      pitch: spellAt(s.phrase, cursor.onset, openMidi(instrument, cursor.string) + fret),
      string: cursor.string,
      fret,
      ...finger,
    };
    // The hand stays where it was put; only a finger's own stretch leaves it.
    const outcome = writeNotes(s, [note], 'on', `fret ${fret} on string ${cursor.string}`);
    if (outcome.kind === 'not applicable') return outcome;
    return done({ ...outcome.state, pen: { ...outcome.state.pen, hand: s.pen.hand } }, outcome.say);
  },
});

/** The hand along the neck. */
export const moveHand = defineCommand<'up' | 'down'>({
  id: 'write.hand',
  group: 'Writing notes',
  title: 'Move the hand',
  words: 'position shift index finger',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'up', title: 'up a fret' },
      { value: 'down', title: 'down a fret' },
    ],
  },
  keys: [
    { key: 'PageUp', value: 'up' },
    { key: 'PageDown', value: 'down' },
    { key: '8', value: 'up', reading: ['finger'] },
    { key: '7', value: 'down', reading: ['finger'] },
  ],
  apply: (s, way) => {
    const hand = s.pen.hand + (way === 'up' ? 1 : -1);
    if (hand < 1) return cannot('the hand is at the nut');
    if (hand > playableFrets(s.phrase.instrument)) return cannot('the neck ends here');
    return done({ ...s, pen: { ...s.pen, hand } }, `hand at fret ${hand}`);
  },
});

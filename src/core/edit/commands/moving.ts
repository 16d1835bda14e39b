import { movePhrase } from '../../move/move';
import type { PitchedNote } from '../../phrase/types';
import { widestBend } from '../../technique/bend-width';
import { homeScale } from '../../theory/chord-scale';
import { degreeSemitones } from '../../theory/degree';
import { keyScale } from '../../theory/key';
import { midiOf, mod, type Pitch } from '../../theory/pitch';
import { rootAt, spellAt } from '../../understand/spell';
import { defineCommand } from '../command';
import { sayLost } from '../lost';
import { cannot, done } from '../outcome';
import type { Chosen } from '../select';
import { type Shift, shiftNotes } from '../shift';
import type { EditState } from '../state';

/** A fret up or down, on the same string. */
export const bySemitone = defineCommand<1 | -1>({
  id: 'move.semitone',
  group: 'Moving what is chosen',
  title: 'Move it a semitone',
  words: 'fret transpose half step up down',
  ask: {
    kind: 'choice',
    choices: [
      { value: 1, title: 'higher' },
      { value: -1, title: 'lower' },
    ],
  },
  keys: [
    { key: 'Ctrl+ArrowUp', value: 1 },
    { key: 'Ctrl+ArrowDown', value: -1 },
  ],
  apply: (s, by) =>
    shiftNotes(
      s,
      (_, at) => ({
        by,
        part: () => by,
        name: (_from, midi) => spellAt(s.phrase, at.event.onset, midi),
      }),
      by > 0 ? 'a semitone higher' : 'a semitone lower',
    ),
});

/** Twelve frets on the same string. */
export const byOctave = defineCommand<12 | -12>({
  id: 'move.octave',
  group: 'Moving what is chosen',
  title: 'Move it an octave',
  words: 'twelve frets transpose',
  ask: {
    kind: 'choice',
    choices: [
      { value: 12, title: 'higher, on the same strings' },
      { value: -12, title: 'lower, on the same strings' },
    ],
  },
  keys: [
    { key: 'Ctrl+Shift+ArrowUp', value: 12 },
    { key: 'Ctrl+Shift+ArrowDown', value: -12 },
  ],
  apply: (s, by) =>
    shiftNotes(
      s,
      () => ({
        by,
        part: () => by,
        name: (from) => ({ ...from, octave: from.octave + Math.sign(by) }),
      }),
      by > 0 ? 'an octave higher' : 'an octave lower',
    ),
});

/** The whole phrase an octave away, on whatever strings fit: the move of that name. */
export const phraseOctave = defineCommand<1 | -1>({
  id: 'move.phrase-octave',
  group: 'Moving what is chosen',
  title: 'Move the whole phrase an octave',
  words: 'transpose area',
  ask: {
    kind: 'choice',
    choices: [
      { value: 1, title: 'higher, wherever it fits' },
      { value: -1, title: 'lower, wherever it fits' },
    ],
  },
  apply: (s, octaves) => {
    if (s.phrase.voices.every((v) => v.events.length === 0))
      return cannot('there is no note in it');
    const moved = movePhrase(s.phrase, { to: { kind: 'octaves', octaves }, hand: 'area' });
    if (!moved.ok) return cannot(moved.problems[0]!.message);
    const say = octaves > 0 ? 'an octave higher' : 'an octave lower';
    return sayLost(s, done({ ...s, phrase: moved.value.phrase }, say));
  },
});

/** The next note of the scale that is at home over the chord, without a chord of the key. */
export const byDegree = defineCommand<1 | -1>({
  id: 'move.degree',
  group: 'Moving what is chosen',
  title: 'Move it to the next scale note',
  words: 'step diatonic degree tonal',
  ask: {
    kind: 'choice',
    choices: [
      { value: 1, title: 'above' },
      { value: -1, title: 'below' },
    ],
  },
  apply: (s, way) => {
    const bends = new Set<string>();
    const outcome = shiftNotes(
      s,
      (n, at) => alongScale(s, n, at, way, (how) => bends.add(how)),
      way > 0 ? 'the next scale note above' : 'the next scale note below',
    );
    if (outcome.kind === 'not applicable' || bends.size === 0) return outcome;
    return done(outcome.state, [outcome.say, ...bends].join('; '));
  },
});

/**
 * A note to the next note of its scale. What it is bent to, trilled with or graced by goes along the
 * scale too where both are notes of it, so that the steps between them stay; else it keeps its
 * distance. A bend that would then be too wide for the string keeps its width.
 */
function alongScale(
  s: EditState,
  n: PitchedNote,
  at: Chosen,
  way: 1 | -1,
  tell: (how: string) => void,
): Shift | string {
  const { root, chord } = rootAt(s.phrase, at.event.onset);
  const scale = chord === null ? keyScale(s.phrase.key.mode) : homeScale(chord);
  const base = midiOf({ ...root, octave: 4 });
  const notes = scale.map((d) => mod(degreeSemitones(d), 12));
  const isIn = (midi: number) => notes.includes(mod(midi - base, 12));
  const stepFrom = (midi: number) => {
    for (let by = 1; by <= 12; by++) if (isIn(midi + way * by)) return way * by;
    return null;
  };
  const midi = midiOf(n.pitch);
  const by = stepFrom(midi);
  if (by === null) return 'the scale has no other note';
  const part = (pitch: Pitch, kind: 'bend' | 'trill' | 'grace') => {
    const steps = isIn(midi) && isIn(midiOf(pitch)) ? stepFrom(midiOf(pitch)) : null;
    if (kind !== 'bend') return steps ?? by;
    const width = midiOf(pitch) + (steps ?? by) - midi - by;
    const along = steps !== null && width <= widestBend(n.string);
    tell(along ? 'its bend along the scale too' : 'its bend as wide as before');
    return along ? steps : by;
  };
  return { by, part, name: (_, to) => spellAt(s.phrase, at.event.onset, to) };
}

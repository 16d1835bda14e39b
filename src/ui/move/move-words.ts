import { type Goal, readKey } from '../../core/move/goal';
import type { HandWay, OctaveChoice, Way } from '../../core/move/request';
import { readInstrument } from '../../core/phrase/instruments';
import type { Phrase } from '../../core/phrase/types';
import { formatChord } from '../../core/theory/chord';
import { parseChordOrRoman } from '../../core/theory/roman';
import { chordName, count, keyName } from '../shared/words';

/** A choice in a player's words, with one line that explains it. */
export interface ChoiceWords {
  readonly name: string;
  readonly line: string;
}

export const WAY_WORDS: Readonly<Record<Way, ChoiceWords>> = {
  chord: {
    name: 'Keep what each note is',
    line: 'A third stays a third, a ♭7 a ♭7, in the new chord’s own version.',
  },
  real: {
    name: 'Keep every interval',
    line: 'The same shape note for note, only higher or lower.',
  },
  tonal: {
    name: 'Keep to the scale',
    line: 'Every note goes the same number of steps along the key.',
  },
  hold: {
    name: 'Keep the pitches',
    line: 'The same notes over the new chord: their degrees change, and useful changes are suggested.',
  },
};

export const OCTAVE_WORDS: Readonly<Record<OctaveChoice, ChoiceWords>> = {
  nearest: { name: 'Nearest', line: 'Whichever way is shorter.' },
  up: { name: 'Higher', line: 'Upwards, by an octave at most.' },
  down: { name: 'Lower', line: 'Downwards, by an octave at most.' },
};

export const HAND_WORDS: Readonly<Record<HandWay, ChoiceWords>> = {
  shape: { name: 'Same strings', line: 'The hand slides along the neck and keeps its shape.' },
  strings: {
    name: 'Neighbouring strings',
    line: 'The shape goes across to the strings beside it.',
  },
  area: { name: 'Stay in place', line: 'The hand stays where it is and finds the notes there.' },
};

/** Where moves lead one after the other, in words that follow 'moved'. */
export function stepsInWords(p: Phrase, goals: readonly Goal[]): string {
  let here = p;
  const words: string[] = [];
  for (const goal of goals) {
    words.push(movedInWords(here, goal));
    const key = goal.kind === 'key' ? readKey(goal.text, here.key) : null;
    if (key !== null) here = { ...here, key };
  }
  return words.join(', then ');
}

/** Where a goal leads, in words that follow 'moved': a phrase that is in a key was moved to it. */
export function movedInWords(p: Phrase, goal: Goal): string {
  return goalInWords(p, goal).replace(/^(?:in|from) /u, 'to ');
}

/** Where a goal leads, in words that follow a title. */
export function goalInWords(p: Phrase, goal: Goal): string {
  switch (goal.kind) {
    case 'chord': {
      const chord = parseChordOrRoman(goal.text, p.key);
      return `over ${chord.ok ? chordName(formatChord(chord.value)) : goal.text.trim()}`;
    }
    case 'key': {
      const key = readKey(goal.text, p.key);
      return `in ${key === null ? goal.text.trim() : keyName(key)}`;
    }
    case 'lane':
      return `over ${goal.text.trim()}`;
    case 'steps': {
      const n = Number(goal.text);
      return `${n < 0 ? 'down' : 'up'} ${count(Math.abs(n), 'scale step')}`;
    }
    case 'octaves':
      return Number(goal.text) < 0 ? 'an octave down' : 'an octave up';
    case 'instrument':
      return instrumentInWords(goal.text);
    case 'beat': {
      const [bar, beat] = goal.text.split(':');
      return bar === '0' ? `from beat ${beat} of the pickup` : `from bar ${bar}, beat ${beat}`;
    }
  }
}

function instrumentInWords(text: string): string {
  const wish = readInstrument(text);
  if (!wish.ok) return `on ${text.trim()}`;
  const { body, capo } = wish.value;
  const on = body === null ? `tuned ${text.trim()}` : `on ${body.name.toLowerCase()}`;
  return capo === null || capo === 0 || body === null ? on : `${on} with the capo at fret ${capo}`;
}

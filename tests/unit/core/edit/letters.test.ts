import { describe, expect, it } from 'vitest';
import { boundTo } from '../../../../src/core/edit/table';
import { titleOfRun } from '../../../../src/ui/shared/command-words';

/** What a key does while digits are frets, in words. */
function meaning(key: string): string | null {
  const bound = boundTo(key, 'fret');
  return bound === null ? null : titleOfRun(bound.command, bound.value);
}

describe('letters of the techniques', () => {
  it.each([
    ['h', 'Hammer it on or pull it off, or pluck it again'],
    ['p', 'Hammer it on or pull it off, or pluck it again'],
    ['b', 'Bend, with the next shape each time'],
    ['x', 'Make it a dead note, or a note with pitch again'],
    ['T', 'Begin the note by a tap'],
    ['/', 'Begin the note by a slide from the note before'],
  ])('%s is what it is in tablature in plain text (common practice)', (key, words) => {
    expect(meaning(key)).toBe(words);
  });

  it.each([
    ['o', 'Make it a natural harmonic'],
    ['m', 'Play it, or not, palm muted'],
    ['H', 'Make it a half note'],
    ['y', 'Make it a unison bend'],
    ['=', 'Write the last notes once more'],
    ['n', 'Put the note into the next octave'],
  ])('%s is of our own choice', (key, words) => {
    expect(meaning(key)).toBe(words);
  });
});

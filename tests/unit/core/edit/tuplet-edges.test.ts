import { describe, expect, it } from 'vitest';
import { startEditing } from '../../../../src/core/edit/state';
import { build } from '../../../support/build';
import { chosen, ordered, refusal } from '../../../support/technique';

describe('commands at the edges of a tuplet', () => {
  const triplet = build('q 3/5 e3 3/5 3/7 - h -', { chords: 'C7' });
  const at = (onset: number) => {
    const s = startEditing(triplet);
    return { ...s, selection: { ...s.selection, cursor: { onset, string: 3 } } };
  };

  it('the phrase does not end inside it, and that is said in words', () => {
    const clear = { ...triplet, voices: [{ ...triplet.voices[0], events: [] }] as const };
    const inside = { ...at(13_440), phrase: clear };
    expect(refusal(inside, 'bar.end', 'here')).toBe('it cannot end inside a tuplet');
    expect(refusal(at(13_440), 'bar.end', 'here')).toBe('there are notes after the cursor');
  });

  it('the phrase ends with the whole of the last one', () => {
    expect(ordered(at(0), 'bar.end', 'last note').phrase.length).toBe(20_160);
  });

  it('a part of it is not moved in time', () => {
    expect(refusal(chosen(triplet, 2, 2), 'move.time', 'later')).toBe(
      'a tuplet is moved as a whole',
    );
    expect(refusal(chosen(triplet, 1, 2), 'move.time', 'later')).toBeNull();
    const first = build('e3 - 3/5 3/7 q - h -', { chords: 'C7' });
    expect(refusal(chosen(first), 'move.time', 'earlier')).toBe('it would begin before the phrase');
  });
});

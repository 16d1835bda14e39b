import { describe, expect, it } from 'vitest';
import { newChord, struckChord, struckNotes } from '../../../../src/core/practice/strike';
import { build } from '../../../support/build';

const p = build('q 3/5 3/7(h)+2/8 2/5(bend:F4)', { key: 'C', chords: 'C7' });
const ids = (i: number) => new Set(p.voices[0].events[i]!.notes.map((n) => n.id));

describe('what is heard while one writes', () => {
  it('is everything struck with the note, at once, with its technique', () => {
    const chord = struckNotes(p, ids(1));
    expect(chord?.sounds.map((s) => [s.string, s.onset, s.begin])).toEqual([
      [2, 0, 'plucked'],
      [3, 0, 'plucked'],
    ]);
    const bent = struckNotes(p, ids(2));
    expect(bent?.sounds).toHaveLength(1);
    expect(Math.max(...bent!.sounds[0]!.curve.map((c) => c.cents))).toBe(100);
    expect(struckNotes(p, new Set(['nothing']))).toBe(null);
  });

  it('is the chord that was typed, in its own tones', () => {
    const after = build('q 3/5', { key: 'C', chords: 'F7' }).chords;
    const typed = newChord(p.chords, after)!;
    const tones = new Set(struckChord(typed)!.sounds.map((s) => s.midi % 12));
    expect([...tones].every((t) => [5, 9, 0, 3].includes(t))).toBe(true);
    expect(tones.has(9) && tones.has(3)).toBe(true);
    expect(newChord(after, after)).toBe(null);
    expect(struckChord({ onset: 0, symbol: null })).toBe(null);
  });
});

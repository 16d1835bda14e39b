import { describe, expect, it } from 'vitest';
import { slideInStart } from '../../../../src/core/phrase/slide-in';
import type { PitchedNote } from '../../../../src/core/phrase/types';
import { formatPitch, parsePitch } from '../../../../src/core/theory/pitch';

function start(name: string, by: number): string {
  const r = parsePitch(name);
  if (!r.ok) throw new Error(name);
  const note: PitchedNote = { kind: 'pitched', id: 'n', pitch: r.value, string: 3, fret: 9 };
  const from = by < 0 ? 'below' : 'above';
  const s = slideInStart(note, { kind: 'interval', from, semitones: Math.abs(by) });
  return `${formatPitch(s.pitch)} ${s.fret}`;
}

describe('slideInStart', () => {
  it.each([
    // Worked example 4: E4 to F4 and G♯4 to A4.
    ['F4', -1, 'E4 8'],
    ['A4', -1, 'G#4 8'],
    ['Bb4', -1, 'A4 8'],
    ['C5', -1, 'B4 8'],
    // No white key under a black key's name, no double accidental.
    ['F#4', -1, 'F4 8'],
    ['Cb4', -1, 'Bb3 8'],
    ['A4', 1, 'Bb4 10'],
    ['B4', 1, 'C5 10'],
    ['Eb4', -2, 'Db4 7'],
    ['D4', 2, 'E4 11'],
    ['A4', -3, 'F#4 6'],
    ['G4', -5, 'D4 4'],
    ['C5', -12, 'C4 -3'],
  ])('%s by %i', (name, by, expected) => {
    expect(start(name, by)).toBe(expected);
  });
});

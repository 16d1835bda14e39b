import { expect, it } from 'vitest';
import { type DrawnNote, namedNotes } from '../../../../../src/ui/frame/recording/note-names';

const note = (index: number, onset: number, pitch: number, sign = ''): DrawnNote => ({
  index,
  heard: { onset, end: onset + 0.2, pitch, curve: [] },
  name: 'F♯4',
  unsure: sign !== '',
  sign,
});
const named = (notes: readonly DrawnNote[], chosen: number | null = null) => [
  ...namedNotes(
    notes,
    chosen,
    (t) => 100 * t,
    (midi) => -9 * midi,
  ),
];

it('names stand beside each other, and what is asked goes before', () => {
  const asked = note(0, 0, 66, 'begin?');
  expect(named([asked, note(1, 1, 66)])).toEqual([
    [0, 'F♯4 begin?'],
    [1, 'F♯4'],
  ]);
  // The one after it lies under what is asked; on a row that is far enough it has its name.
  expect(named([asked, note(1, 0.3, 66), note(2, 0.3, 70)])).toEqual([
    [0, 'F♯4 begin?'],
    [2, 'F♯4'],
  ]);
});

it('what is asked of two notes beside each other is said in short where it would cover the other', () => {
  expect(named([note(0, 0, 66, 'begin?'), note(1, 0.35, 66, 'begin?')])).toEqual([
    [0, 'F♯4?'],
    [1, 'F♯4 begin?'],
  ]);
  // Never without its name.
  expect(named([note(0, 0, 66, 'begin?'), note(1, 0.05, 66, 'begin?')])).toEqual([
    [0, 'F♯4?'],
    [1, 'F♯4?'],
  ]);
  expect(named([note(0, 0, 66, '?'), note(1, 0.05, 66)], 1)[1]).toEqual([1, 'F♯4']);
});

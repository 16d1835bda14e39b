import { describe, expect, it } from 'vitest';
import { startEditing } from '../../../../src/core/edit/state';
import { formatPitch } from '../../../../src/core/theory/pitch';
import { emptyPhrase, press, typeKeys } from '../../../support/edit';

/** `onset string/fret pitch` of every note. */
function notes(p: ReturnType<typeof emptyPhrase>): string[] {
  return p.voices[0].events.flatMap((e) =>
    e.notes.map((n) =>
      n.kind === 'dead' ? 'x' : `${e.onset} ${n.string}/${n.fret} ${formatPitch(n.pitch)}`,
    ),
  );
}

describe('typing frets', () => {
  const start = startEditing(emptyPhrase());

  it('extends a fret by its second digit until the cursor moves', () => {
    expect(notes(typeKeys(start, '12').phrase)).toEqual(['0 3/12 G4']);
    expect(notes(press(start, '1', 'ArrowRight', '2').phrase)).toEqual([
      '0 3/1 Ab3',
      '5040 3/2 A3',
    ]);
  });

  it('begins anew with a digit that would leave the neck', () => {
    expect(notes(typeKeys(start, '35').phrase)).toEqual(['0 3/5 C4']);
  });

  it('makes a double stop on another string at the same moment, and goes on string by string', () => {
    const s = press(start, '7', 'ArrowUp', '8', '+', '5');
    expect(notes(s.phrase)).toEqual(['0 2/8 G4', '0 3/7 D4', '5040 1/5 A4']);
  });

  it('opens the next bar when this one is full', () => {
    const s = press(start, 'End', '3');
    expect(s.phrase.bars).toHaveLength(2);
    expect(s.phrase.length).toBe(80_640);
    expect(notes(s.phrase)).toEqual(['40320 3/3 Bb3']);
  });

  it('writes over what is in the cell, and keeps its length', () => {
    const s = press(start, '5', 'ArrowRight', 'ArrowLeft', '9');
    expect(notes(s.phrase)).toEqual(['0 3/9 E4']);
  });
});

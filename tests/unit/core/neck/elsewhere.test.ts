import { describe, expect, it } from 'vitest';
import { partsElsewhere, placesElsewhere } from '../../../../src/core/neck/elsewhere';
import { checkPlayable } from '../../../../src/core/neck/playable';
import { notesOf } from '../../../../src/core/phrase/walk';
import { build } from '../../../support/build';

const LICK = 'e 3/5(f:1) 3/7(f:3) 2/5 2/8 2/5 3/7 3/5 4/7';

describe('the same phrase elsewhere', () => {
  it('leaves out where the phrase stands, and the fingers named for it', () => {
    const p = build(LICK);
    const found = placesElsewhere(p, 5);
    expect(found.length).toBeGreaterThan(1);
    expect(found.map((f) => f.effort)).toEqual(found.map((f) => f.effort).sort((a, b) => a - b));
    for (const { phrase, reasons, effort } of found) {
      expect(checkPlayable(phrase)).toEqual([]);
      expect(reasons.reduce((t, r) => t + r.cost, 0)).toBeCloseTo(effort, 8);
      const moved = notesOf(phrase).filter(({ note }, i) => {
        const old = notesOf(p)[i]!.note;
        return note.string !== old.string || note.fret !== old.fret;
      });
      expect(moved.length).toBeGreaterThan(0);
      for (const { note } of moved) expect(note).not.toHaveProperty('finger');
    }
  });

  it('keeps the first note where it is if that is wished', () => {
    const p = build('e 3/5 3/7 2/5 2/8 1/5 1/8 1/10 1/8');
    const at = (q: typeof p, i: number) =>
      `${notesOf(q)[i]!.note.string}/${notesOf(q)[i]!.note.fret}`;
    const free = placesElsewhere(p, 5).map(({ phrase }) => at(phrase, 0));
    const kept = placesElsewhere(p, 5, true).map(({ phrase }) => at(phrase, 0));
    expect(new Set(free).size).toBeGreaterThan(1);
    expect(kept.length).toBeGreaterThan(0);
    expect(new Set(kept)).toEqual(new Set(['3/5']));
  });

  it('moves one part of a long phrase and leaves the rest', () => {
    const p = build(`${LICK} `.repeat(8));
    const [first, second] = partsElsewhere(p, 3);
    expect([first!.bars, second!.bars]).toEqual([
      [1, 4],
      [5, 8],
    ]);
    const { phrase } = second!.places[0]!;
    const [before, after] = [notesOf(p), notesOf(phrase)];
    expect(after.slice(0, 32).map((x) => x.note)).toEqual(before.slice(0, 32).map((x) => x.note));
    expect(after.slice(32).map((x) => x.note)).not.toEqual(before.slice(32).map((x) => x.note));
  });

  it('is none where all is pinned', () => {
    expect(placesElsewhere(build('e 3/5(pin) 3/7(pin)'), 5)).toEqual([]);
  });
});

import { describe, expect, it } from 'vitest';
import { movedPlaces } from '../../../../src/core/neck/moved-places';
import { stretchesOf } from '../../../../src/core/neck/neck-views';
import { mapEvents, mapNonEmpty } from '../../../../src/core/phrase/rebuild';
import type { Phrase } from '../../../../src/core/phrase/types';
import { build } from '../../../support/build';

/** The same music on other strings, later by some ticks. */
function replaced(p: Phrase, places: readonly (readonly [number, number])[], later = 0): Phrase {
  let k = 0;
  return mapEvents(p, (e) => ({
    ...e,
    onset: e.onset + later,
    notes: mapNonEmpty(e.notes, (n) => {
      const [string, fret] = places[k++] ?? [n.string, n.fret];
      return { ...n, string, fret };
    }),
  }));
}

describe('where a move has put each note', () => {
  const before = build('q 3/5 2/5 3/5 1/3', { chords: 'C7' });

  it('tells what goes, what stays and what is left out; each way once', () => {
    const after = replaced(before, [
      [4, 10],
      [2, 5],
      [4, 10],
    ]);
    const moved = movedPlaces(before, after);
    expect(moved.ways.map(([a, b]) => [a.string, a.fret, b.string, b.fret])).toEqual([
      [3, 5, 4, 10],
    ]);
    expect([moved.moved, moved.stayed, moved.gone]).toEqual([2, 2, 0]);
    const [voice] = after.voices;
    const fewer: Phrase = { ...after, voices: [{ ...voice, events: voice.events.slice(1) }] };
    expect(movedPlaces(before, fewer)).toMatchObject({ moved: 1, stayed: 2, gone: 1 });
  });

  it('looks at the stretch asked for, and follows it to another beat', () => {
    const [first] = stretchesOf(before);
    const within = [10_080, first!.to] as const;
    const after = replaced(
      before,
      [
        [4, 10],
        [2, 5],
        [4, 10],
      ],
      5_040,
    );
    const moved = movedPlaces(before, after, within);
    expect([moved.moved, moved.stayed]).toEqual([1, 2]);
    expect(moved.within).toEqual([15_120, first!.to + 5_040]);
  });
});

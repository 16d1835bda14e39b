import { describe, expect, it } from 'vitest';
import { guessesOf } from '../../../../src/core/heard/instead';
import { insteadOf } from '../../../../src/core/heard/instead-written';
import type { HeardNote } from '../../../../src/core/heard/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { build } from '../../../support/build';

const HEARD: HeardNote = {
  ...{ onset: 0, end: 0.4, pitch: 64, start: 64, curve: [], attack: 'pluck', muted: false },
  ...{ confidence: 0.55, strings: [0.01, 0.55, 0.4, 0.02, 0.01, 0.01] },
  others: {
    pitches: [-12, -1, 1, 12, -19].map((by) => ({
      ...{ by, sounds: 0 },
      begins: by === -12 ? 0.45 : by === -19 ? 0.2 : 0,
    })),
    attacks: [0.7, 0.28, 0.01, 0.01],
    bends: 0.01,
  },
};

describe('what a note may be instead', () => {
  it('is said in the order in which it was heard', () => {
    const all = guessesOf(HEARD, 2);
    const order = (of: (g: (typeof all)[number]) => unknown) =>
      all.map(of).filter((x) => x !== null);
    expect(order((g) => (g.instead.kind === 'pitch' ? g.instead.by : null)).slice(0, 2)).toEqual([
      -12, -19,
    ]);
    expect(order((g) => (g.instead.kind === 'string' ? g.instead.string : null))[0]).toBe(3);
    expect(order((g) => (g.instead.kind === 'attack' ? g.instead.attack : null))[0]).toBe(
      'hammer-on',
    );
    for (const { share } of all) expect(share > 0 && share < 1).toBe(true);
    // An instrument that is strung otherwise is told nothing of strings.
    expect(guessesOf(HEARD, null).some((g) => g.instead.kind === 'string')).toBe(false);
  });

  it('has what no hand can play behind what one can, and pitches where they are handiest', () => {
    // A stretch: on string 2 the note lies under the hand, on string 6 it would lie at the 24th fret.
    const p = build('e 2/5 e 2/7 q 2/5+1/5');
    const ids = notesOf(p).map(({ note }) => note.id);
    const all = insteadOf(p, ids[0]!, HEARD);
    const first = all.findIndex((x) => !x.playable);
    expect(all.slice(first < 0 ? all.length : first).every((x) => !x.playable)).toBe(true);
    // E3 under a hand at the fifth fret.
    expect(all.find((x) => x.instead.kind === 'pitch' && x.instead.by === -12)?.place).toEqual({
      string: 5,
      fret: 7,
    });
    // Nothing leads up to the first note: it cannot be hammered on.
    const hammered = all.find((x) => x.instead.kind === 'attack' && x.instead.attack !== 'pluck');
    expect(hammered?.playable).toBe(false);
    // What is struck with another string keeps off it.
    const last = notesOf(p).find(({ note }) => note.string === 2 && note.id === ids.at(-1))!;
    for (const x of insteadOf(p, last.note.id, HEARD)) expect(x.place?.string).not.toBe(1);
  });
});

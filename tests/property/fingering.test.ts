import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applyFingering } from '../../src/core/neck/apply';
import { fingeringCost } from '../../src/core/neck/costs';
import { checkPlayable } from '../../src/core/neck/playable';
import { problemOf } from '../../src/core/neck/problem-of';
import { findFingerings } from '../../src/core/neck/solve';
import { expectedMidi } from '../../src/core/phrase/instrument';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { midiOf } from '../../src/core/theory/pitch';
import { arbPhrase } from '../support/arbitrary';
import { bruteFingerings } from '../support/brute-fingering';
import { arbSmallPhrase } from '../support/small-phrase';
import { runs } from '../support/thorough';

/** Where the hand comes from and goes: often nothing is known. */
const arbSide = fc.record(
  {
    hand: fc.integer({ min: 1, max: 17 }),
    strings: fc.integer({ min: 2, max: 12 }).map((n) => n / 2),
    seconds: fc.constantFrom(0, 0.2, 1.5),
  },
  { requiredKeys: ['hand', 'seconds'] },
);
const arbSides = fc.record({ before: arbSide, after: arbSide }, { requiredKeys: [] });

const STYLES = ['lead', 'chordal', 'fingerstyle'] as const;

describe('[N4] the search against trying everything', () => {
  it('finds the cheapest fingerings, in order, or none where there is none', () => {
    const sizes = new Map<number, number>();
    const reaching = { held: 0, linked: 0, ringing: 0, doubleStops: 0 };
    let none = 0;
    let several = 0;
    fc.assert(
      fc.property(
        arbSmallPhrase(),
        fc.constantFrom(...STYLES),
        arbSides,
        (phrase, style, sides) => {
          const problem = problemOf(phrase, sides);
          const all = bruteFingerings(phrase, problem, style, 1_000);
          fc.pre(all !== null);
          const found = findFingerings(problem, { style, count: 4 });
          expect(found.length).toBe(Math.min(4, all.length));
          found.forEach((f, i) => {
            expect(f.cost).toBeCloseTo(all[i]!.cost, 8);
            expect(fingeringCost(problem, f, style)).toBeCloseTo(f.cost, 8);
          });
          const [single] = findFingerings(problem, { style });
          expect(single?.cost ?? -1).toBeCloseTo(all[0]?.cost ?? -1, 8);
          sizes.set(problem.notes.length, (sizes.get(problem.notes.length) ?? 0) + 1);
          if (all.length === 0) none++;
          else {
            if (problem.moments.some((m) => m.held.length > 0)) reaching.held++;
            if (problem.moments.some((m) => m.ringing.length > 0)) reaching.ringing++;
            if (problem.moments.some((m) => m.struck.length > 1)) reaching.doubleStops++;
            if (problem.notes.some((n) => n.link !== undefined)) reaching.linked++;
          }
          if (all.length > 3) several++;
        },
      ),
      { seed: 20_261, numRuns: runs(150, 600) },
    );
    const counts = [...sizes].sort((a, b) => a[0] - b[0]).map(([n, c]) => `${n}: ${c}`);
    console.log(`brute force by notes ${counts.join(', ')}; none ${none}, four or more ${several}`);
    console.log(`with a legal fingering: ${JSON.stringify(reaching)}`);
    for (const count of Object.values(reaching)) expect(count).toBeGreaterThan(8);
    for (const n of [6, 7, 8]) expect(sizes.get(n) ?? 0, `${n} notes`).toBeGreaterThan(3);
    expect(none).toBeGreaterThan(3);
    expect(several).toBeGreaterThan(12);
  });
});

describe('[N3] hard rules over generated phrases', () => {
  it('finds a fingering for what is playable, breaks no rule and sounds the written phrase', () => {
    let refused = 0;
    fc.assert(
      fc.property(arbPhrase({ maxBars: 2 }), fc.constantFrom(...STYLES), (phrase, style) => {
        const playable = checkPlayable(phrase).length === 0;
        const [best] = findFingerings(problemOf(phrase), { style });
        if (best === undefined) {
          expect(playable).toBe(false);
          refused++;
          return;
        }
        const placed = applyFingering(phrase, best);
        expect(checkPlayable(placed)).toEqual([]);
        expectSamePitches(phrase, placed);
      }),
      { seed: 77, numRuns: 200 },
    );
    console.log(`${refused} of 200 generated phrases have no fingering`);
  });

  it('never costs more than the fingering the phrase came with', () => {
    fc.assert(
      fc.property(arbPhrase({ maxBars: 2 }), (phrase) => {
        const [kept] = findFingerings(problemOf(phrase, { keepPlaces: true }), { style: 'lead' });
        fc.pre(kept !== undefined);
        const [best] = findFingerings(problemOf(phrase), { style: 'lead' });
        expect(best!.cost).toBeLessThanOrEqual(kept.cost + 1e-9);
      }),
      { seed: 78, numRuns: runs(150, 600) },
    );
  }, 30_000);
});

function expectSamePitches(before: Phrase, after: Phrase): void {
  const pitches = (p: Phrase) =>
    notesOf(p)
      .map(({ note }) => `${note.id}:${note.kind === 'pitched' ? midiOf(note.pitch) : 'x'}`)
      .sort();
  expect(pitches(after)).toEqual(pitches(before));
  for (const { note } of notesOf(after))
    if (note.kind === 'pitched')
      expect(expectedMidi(after.instrument, note)).toBe(midiOf(note.pitch));
}

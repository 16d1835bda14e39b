import fc from 'fast-check';
import { expect, it } from 'vitest';
import { layForm } from '../../src/core/form/lay';
import { standardForm } from '../../src/core/form/standard';
import { fingeringCost } from '../../src/core/neck/costs';
import { type OwnWay, ownWay, placeFrom } from '../../src/core/neck/from-hand';
import { problemOf } from '../../src/core/neck/problem-of';
import { findFingerings } from '../../src/core/neck/solve';
import { openMidi, STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import type { Phrase } from '../../src/core/phrase/types';
import { notesOf } from '../../src/core/phrase/walk';
import { Placer } from '../../src/core/solo/placer';
import { proposeSolos } from '../../src/core/solo/propose';
import { parseKey } from '../../src/core/theory/key';
import { midiOf } from '../../src/core/theory/pitch';
import { build } from '../support/build';
import { readSamples } from '../support/samples';
import { runs } from '../support/thorough';
import { wastesOf } from '../support/wasted-way';

interface Place {
  readonly string: number;
  readonly fret: number;
}

/** Eight places in one position, from string to string next to it, and the number of one inside. */
const boxed = fc
  .record({
    index: fc.integer({ min: 5, max: 11 }),
    first: fc.integer({ min: 1, max: 5 }),
    steps: fc.array(fc.record({ up: fc.integer({ min: -1, max: 1 }), finger: fc.nat(3) }), {
      minLength: 8,
      maxLength: 8,
    }),
    inside: fc.integer({ min: 1, max: 6 }),
  })
  .map(({ index, first, steps, inside }) => {
    let string = first;
    const box = steps.map(({ up, finger }): Place => {
      string = Math.min(5, Math.max(1, string + up));
      return { string, fret: index + finger };
    });
    return { box, inside };
  });

/** Of a player who has it where it is easiest. */
const FREE: OwnWay = { regret: { few: 0, many: 0 }, way: 0, awkward: new Set() };

const line = (places: readonly Place[]): Phrase =>
  build(`e ${places.map((p) => `${p.string}/${p.fret}`).join(' ')}`);

/** The same pitch on the next string below, out of the position. */
function lower({ string, fret }: Place): Place {
  const open = (s: number) => openMidi(STANDARD_GUITAR, s);
  return { string: string + 1, fret: fret + open(string) - open(string + 1) };
}

const placesOf = (p: Phrase) =>
  notesOf(p).map(({ note: { string, fret } }): Place => ({ string, fret }));
const pitchesOf = (p: Phrase) =>
  notesOf(p).map(({ note }) => (note.kind === 'pitched' ? midiOf(note.pitch) : null));
const clear = (p: Phrase) => wastesOf(p).filter((w) => w.frets > 1);

it('a note that has left the position comes back to it', () => {
  fc.assert(
    fc.property(boxed, ({ box, inside }) => {
      const strayed = line(box.map((p, i) => (i === inside ? lower(p) : p)));
      // A fret more than one finger a fret, there and back, is a stretch.
      const far = (p: Phrase) => wastesOf(p).filter((w) => w.frets > 2);
      fc.pre(far(strayed).length > 0);
      const placed = placeFrom(strayed, undefined, FREE);
      expect(pitchesOf(placed)).toEqual(pitchesOf(strayed));
      expect(far(placed)).toEqual([]);
      // What its player has so stays.
      expect(placeFrom(strayed, undefined, ownWay(strayed))).toBe(strayed);
    }),
    { numRuns: runs(100, 5000) },
  );
});

it('what leaves its strings saves what that costs, by the public cost', () => {
  const cost = (p: Phrase) => {
    const problem = problemOf(p, { keepPlaces: true });
    return fingeringCost(problem, findFingerings(problem)[0]!);
  };
  fc.assert(
    fc.property(
      fc.array(
        fc.record({
          string: fc.integer({ min: 1, max: 4 }),
          fret: fc.integer({ min: 1, max: 15 }),
        }),
        { minLength: 3, maxLength: 10 },
      ),
      (places) => {
        const shape = line(places);
        const placed = placeFrom(shape, undefined, FREE);
        const off = placesOf(placed).filter((p, i) => p.string !== places[i]!.string).length;
        if (off === 0) expect(placed).toBe(shape);
        else expect(cost(shape) - cost(placed)).toBeGreaterThan(Math.min(off, 0.75 + off / 4));
      },
    ),
    { numRuns: runs(200, 5000) },
  );
});

it('in choruses the hand seldom leaves notes that lie under it', () => {
  const phrases = readSamples().map((s) => s.phrase);
  let choruses = 0;
  let wasted = 0;
  for (const name of ['blues', 'aaba', 'minor-blues']) {
    for (const key of ['A', 'Bb']) {
      const laid = layForm(standardForm(name)!, parseKey(key)!.tonic);
      if (!laid.ok) throw new Error(name);
      const made = proposeSolos(
        { form: laid.value, phrases, options: { seed: 1, count: 5, most: 3 } },
        (n) => ({
          id: `${n}`,
          tempo: laid.value.form.tempo,
          meta: {
            title: 'Solo',
            tags: [],
            created: '2026-01-01T00:00:00.000Z',
            modified: '2026-01-01T00:00:00.000Z',
          },
        }),
        new Placer(laid.value, phrases),
      );
      if (!made.ok) throw new Error(made.problems[0]!.message);
      choruses += made.value.length;
      for (const { phrase } of made.value) wasted += clear(phrase).length;
    }
  }
  // Where all of a phrase or nothing of it left its strings there were more than one and a half in each.
  expect(wasted / choruses).toBeLessThan(1);
});

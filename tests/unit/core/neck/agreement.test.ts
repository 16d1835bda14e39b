import { describe, expect, it } from 'vitest';
import { DEFAULT_LIMITS } from '../../../../src/core/neck/limits';
import { placesFor } from '../../../../src/core/neck/places';
import { styleOf } from '../../../../src/core/neck/style-of';
import type { FingeringStyle } from '../../../../src/core/neck/weights';
import { placeMidi, STANDARD_GUITAR } from '../../../../src/core/phrase/instrument';
import {
  type Agreement,
  agreement,
  chordsOf,
  fourBarCuts,
  type Recording,
  share,
  wilson,
  writtenAgreement,
} from '../../../support/agreement';
import { describeWithRef } from '../../../support/refs';
import { readSamples } from '../../../support/samples';

it("computes Wilson's interval as published: 8 of 10 is 49 to 94%", () => {
  const [from, to] = wilson(8, 10);
  expect(from).toBeCloseTo(0.4902, 4);
  expect(to).toBeCloseTo(0.9433, 4);
});

const words = (a: Agreement) =>
  `first choice ${share(a.first, a.notes)}, best of three ${share(a.best, a.notes)}`;

/** The recordings that may be looked at while weights are set; the figures are printed beside the goals. */
describe.each<[string, string, FingeringStyle, number, number, number]>([
  ['a recorded solo', 'bn1-129-eb-solo', 'lead', 69, 0.75, 0.9],
  ['a comping take', 'bn1-147-gb-comp', 'chordal', 151, 0.85, 0.85],
])('%s', (title, name, style, count, first, best) => {
  const file = `data/guitarset/${name}.slim.json`;
  describeWithRef(`${title} (GuitarSet, Xi et al., ISMIR 2018)`, file, (text) => {
    const recording = JSON.parse(text) as Recording;
    const chords = chordsOf(recording);
    const cuts = fourBarCuts(chords, recording.tempo!);

    it('has usable notes whose places sound their pitches', () => {
      expect(chords.flat()).toHaveLength(count);
      for (const n of chords.flat())
        expect(Math.abs(placeMidi(STANDARD_GUITAR, n) - n.midi)).toBeLessThanOrEqual(0.5);
    });

    it('is fingered as played in cuts of four bars, better than by chance', () => {
      const free = agreement(cuts, style);
      const given = agreement(cuts, style, 1);
      console.log(
        [
          `${title}, four bars at a time (goals ${100 * first}% and ${100 * best}%):`,
          `  pitches alone: ${words(free)}`,
          `  first place given: ${words(given)}`,
        ].join('\n'),
      );
      expect(free.first / free.notes).toBeGreaterThanOrEqual(first);
      expect(free.best / free.notes).toBeGreaterThanOrEqual(best);
      const chance = chords.flat().reduce((sum, n) => {
        const note = { id: '', kind: 'stopped' as const, midi: placeMidi(STANDARD_GUITAR, n) };
        return sum + 1 / placesFor(STANDARD_GUITAR, DEFAULT_LIMITS, note).length;
      }, 0);
      expect(free.first).toBeGreaterThan(1.2 * chance);
    }, 30_000);
  });
});

/**
 * Our own written fingerings were looked at while weights and styles were chosen, so this says how
 * well they are met, not how well a new phrase would be.
 */
describe('[N4] the written fingerings of the samples', () => {
  it.each([
    ['lead', 0.8],
    ['chordal', 0.85],
    ['fingerstyle', 0.8],
  ] as const)(
    '%s: mostly found again from pitches and techniques alone',
    (style, goal) => {
      const sum = { notes: 0, first: 0, best: 0 };
      const ours = readSamples().filter(({ phrase }) => styleOf(phrase) === style);
      for (const { phrase } of ours) {
        const a = writtenAgreement(phrase);
        sum.notes += a.notes;
        sum.first += a.first;
        sum.best += a.best;
      }
      console.log(`${ours.length} samples, ${style} (goal ${100 * goal}%): ${words(sum)}`);
      expect(ours.length).toBeGreaterThan(3);
      expect(sum.first / sum.notes).toBeGreaterThanOrEqual(goal);
    },
    30_000,
  );
});

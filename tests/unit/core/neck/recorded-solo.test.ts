import { expect, it } from 'vitest';
import { findAreas } from '../../../../src/core/neck/areas';
import { DEFAULT_LIMITS } from '../../../../src/core/neck/limits';
import { placesFor } from '../../../../src/core/neck/places';
import type { Fingering, FingeringProblem } from '../../../../src/core/neck/problem';
import {
  placeMidi,
  reachMillimetres,
  STANDARD_GUITAR,
} from '../../../../src/core/phrase/instrument';
import { describeWithRef } from '../../../support/refs';

/** A recorded improvisation over a 12-bar blues in E♭, with the strings the pickup heard. */
interface Solo {
  readonly notes: readonly {
    readonly string: number;
    readonly fret: number;
    readonly time: number;
    readonly midi: number;
  }[];
}

/** Notes whose onsets are this close, in seconds, are one double stop or chord. */
const TOGETHER = 0.03;

type Chord = Solo['notes'];

/** Chords by time, without those the hand could not reach as recorded: one string heard on two. */
function chordsOf(solo: Solo): readonly Chord[] {
  const chords: Solo['notes'][number][][] = [];
  for (const n of [...solo.notes].sort((a, b) => a.time - b.time)) {
    const last = chords.at(-1);
    if (last !== undefined && n.time - last[0]!.time < TOGETHER) last.push(n);
    else chords.push([n]);
  }
  return chords.filter((c) => {
    const frets = c.map((n) => n.fret).filter((f) => f > 0);
    const reach = reachMillimetres(STANDARD_GUITAR, Math.min(...frets), Math.max(...frets));
    return frets.length === 0 || reach <= DEFAULT_LIMITS.reach;
  });
}

function problemFrom(chords: readonly Chord[]): FingeringProblem {
  const notes = chords.flat().map((n, i) => ({
    id: `n${i}`,
    kind: 'stopped' as const,
    midi: placeMidi(STANDARD_GUITAR, n),
  }));
  let next = 0;
  const moments = chords.map((c, i) => ({
    onset: Math.round(c[0]!.time * 20_000),
    seconds: i === 0 ? 0 : c[0]!.time - chords[i - 1]![0]!.time,
    struck: c.map(() => next++),
    held: [],
    ringing: [],
  }));
  return { instrument: STANDARD_GUITAR, limits: DEFAULT_LIMITS, notes, moments };
}

function agreement(chords: readonly Chord[], f: Fingering): number {
  return chords.flat().filter((n, i) => {
    const place = f.places.get(`n${i}`)!;
    return place.string === n.string && place.fret === n.fret;
  }).length;
}

/** Notes agreed in the first choice and in the best of three areas, the solo cut into pieces. */
function agreements(chords: readonly Chord[], piece: number): { first: number; best: number } {
  const sum = { first: 0, best: 0 };
  for (let i = 0; i < chords.length; i += piece) {
    const part = chords.slice(i, i + piece);
    const agreed = findAreas(problemFrom(part), { style: 'lead', count: 3 }).map((f) =>
      agreement(part, f),
    );
    sum.first += agreed[0]!;
    sum.best += Math.max(...agreed);
  }
  return sum;
}

/** Wilson's 95% interval (Wilson 1927) for k of n. */
function wilson(k: number, n: number): readonly [number, number] {
  const z = 1.959964;
  const centre = (k + (z * z) / 2) / (n + z * z);
  const half = (z / (n + z * z)) * Math.sqrt((k * (n - k)) / n + (z * z) / 4);
  return [centre - half, centre + half];
}

function percent(k: number, n: number): string {
  const [from, to] = wilson(k, n).map((x) => Math.round(100 * x));
  return `${k} of ${n} (${Math.round((100 * k) / n)}%, 95% interval ${from} to ${to}%)`;
}

it("computes Wilson's interval as published: 8 of 10 is 49 to 94%", () => {
  const [from, to] = wilson(8, 10);
  expect(from).toBeCloseTo(0.4902, 4);
  expect(to).toBeCloseTo(0.9433, 4);
});

describeWithRef(
  'a recorded solo (GuitarSet, Xi et al., ISMIR 2018)',
  'data/guitarset/bn1-129-eb-solo.slim.json',
  (text) => {
    const chords = chordsOf(JSON.parse(text) as Solo);
    const notes = chords.flat();

    it('has 69 usable notes whose places sound their pitches', () => {
      expect(notes).toHaveLength(69);
      for (const n of notes)
        expect(Math.abs(placeMidi(STANDARD_GUITAR, n) - n.midi)).toBeLessThan(0.5);
    });

    it('is fingered as played better than by chance; the weights were fixed before', () => {
      const whole = agreements(chords, chords.length);
      const pieces = agreements(chords, 12);
      console.log(
        [
          'agreement with the recorded solo, string and fret (goals 88% and 95%):',
          `  whole solo: first choice ${percent(whole.first, 69)}, best of three ${percent(whole.best, 69)}`,
          `  pieces of 12 events: first choice ${percent(pieces.first, 69)}, best of three ${percent(pieces.best, 69)}`,
        ].join('\n'),
      );
      const chance = notes.reduce((sum, n) => {
        const note = { id: '', kind: 'stopped' as const, midi: placeMidi(STANDARD_GUITAR, n) };
        return sum + 1 / placesFor(STANDARD_GUITAR, DEFAULT_LIMITS, note).length;
      }, 0);
      expect(whole.first).toBeGreaterThan(1.2 * chance);
      expect(whole.best).toBeGreaterThanOrEqual(whole.first);
    }, 30_000);
  },
);

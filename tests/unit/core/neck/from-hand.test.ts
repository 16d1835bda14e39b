import { expect, it } from 'vitest';
import { fingeringCost } from '../../../../src/core/neck/costs';
import {
  HIGHEST_FRET,
  type OwnWay,
  ownWay,
  placeFrom,
  strays,
} from '../../../../src/core/neck/from-hand';
import { endsOf } from '../../../../src/core/neck/neighbours';
import { problemOf } from '../../../../src/core/neck/problem-of';
import { findFingerings } from '../../../../src/core/neck/solve';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { midiOf } from '../../../../src/core/theory/pitch';
import { build } from '../../../support/build';

const places = (p: Phrase) => notesOf(p).map(({ note }) => `${note.string}/${note.fret}`);
const pitches = (p: Phrase) =>
  notesOf(p).map(({ note }) => (note.kind === 'pitched' ? midiOf(note.pitch) : null));

/** Of a player who has it where it is easiest. */
const FREE: OwnWay = { regret: { few: 0, many: 0 }, way: 0, awkward: new Set() };

// A shape of the low strings an octave up.
const HIGH = 'e 6/17 6/20 5/17 5/19 4/17 5/19 5/17 6/20';

it('a shape that lies far up the low strings is played lower down, at the same pitches', () => {
  const high = build(HIGH);
  const placed = placeFrom(high, undefined, FREE);
  expect(pitches(placed)).toEqual(pitches(high));
  expect(Math.max(...notesOf(placed).map(({ note }) => note.fret))).toBeLessThan(13);
  // What its own player has there stays.
  expect(placeFrom(high, undefined, ownWay(high))).toBe(high);
  expect([
    strays(high, () => FREE),
    strays(placed, () => FREE),
    strays(high, () => ownWay(high)),
  ]).toEqual([true, false, false]);
  const pinned = build('e 6/17(pin) 6/20(pin) 5/17(pin) 5/19(pin)');
  expect(placeFrom(pinned, undefined, FREE)).toBe(pinned);
});

it('nothing goes beyond the 17th fret that was not written there', () => {
  const high = build('e 4/19 4/21 3/18 3/20 e 2/19 3/20 4/21 4/19');
  const placed = placeFrom(high, undefined, FREE);
  expect(pitches(placed)).toEqual(pitches(high));
  expect(Math.max(...notesOf(placed).map(({ note }) => note.fret))).toBeLessThanOrEqual(
    HIGHEST_FRET,
  );
  expect([high, placed].map((p) => strays(p, () => FREE))).toEqual([true, false]);
  expect(placeFrom(high, undefined, ownWay(high))).toBe(high);
  // A harmonic lies on its node.
  expect(strays(build('q 3/19(nat:19)'), () => FREE)).toBe(false);
});

it('nothing lies far up the low strings after a hand that is there', () => {
  const line = build('e 6/15 6/17(bend:B3) 5/14 5/17');
  const before = { hand: 16, strings: 6, seconds: 0.15 };
  expect(strays(placeFrom(line, before, FREE), () => FREE)).toBe(false);
  // But where there is no other place.
  const chord = build('q 6/18+5/19+4/20+3/20+2/18+1/18');
  expect(placeFrom(chord, before, FREE)).toBe(chord);
});

it('bends do not come onto the low strings', () => {
  const low = build('e 5/7(bend:F#3) 5/5 4/7');
  expect(strays(low, () => FREE)).toBe(true);
  const placed = placeFrom(low, undefined, FREE);
  expect([strays(low, () => ownWay(low)), pitches(placed)]).toEqual([false, pitches(low)]);
  // A quarter tone can be pulled anywhere.
  expect(strays(build('e 5/7(curl) 5/5'), () => FREE)).toBe(false);
});

it('a phrase goes where the hand is, and stays where it has time', () => {
  const line = build('e 2/5 2/8 1/5 1/8');
  const { last } = endsOf(build('e 3/14 3/12 4/14 4/12'))!;
  const before = { ...last, seconds: 0.15 };
  const placed = placeFrom(line, before, FREE);
  expect(places(placed)).not.toEqual(places(line));
  expect(Math.min(...notesOf(placed).map(({ note }) => note.fret))).toBeGreaterThan(8);
  expect(placeFrom(line, undefined, FREE)).toBe(line);
  // By the public cost: no fingering at all is cheaper from there.
  const problem = problemOf(placed, { before, keepPlaces: true });
  const [held] = findFingerings(problem);
  const [best] = findFingerings(problemOf(line, { before }));
  expect(fingeringCost(problem, held!)).toBeCloseTo(best!.cost, 9);
});

it('one note that leaves the hand although it lies under it comes back to it', () => {
  // As a phrase over two chords came out of its move: the last note a string too low.
  const strayed = build('q 4/10 e 3/8 2/8 h 2/15(vib:n)');
  expect(places(placeFrom(strayed, undefined, FREE))).toEqual(['4/10', '3/8', '2/8', '1/10']);
  // What its player has there stays, and so does what is pinned.
  expect(placeFrom(strayed, undefined, ownWay(strayed))).toBe(strayed);
  const pinned = build('q 4/10 e 3/8 2/8 h 2/15(pin)');
  expect(places(placeFrom(pinned, undefined, FREE))[3]).toBe('2/15');
});

it('the rest of a phrase whose chords parted is played where its beginning is', () => {
  const whole = ownWay(build('e 1/7 1/8 1/9 2/10 2/8 2/7 3/7 3/5 q 3/7'));
  const parted = build('e 1/12 1/13 1/14 2/15 2/13 2/7 3/7 3/5 q 3/7');
  const placed = placeFrom(parted, undefined, whole);
  expect(pitches(placed)).toEqual(pitches(parted));
  expect(places(placed).slice(0, 3)).toEqual(places(parted).slice(0, 3));
  expect(Math.min(...notesOf(placed).map(({ note }) => note.fret))).toBeGreaterThan(8);
});

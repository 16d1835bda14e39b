import { describe, expect, it } from 'vitest';
import { applyFingering } from '../../../../src/core/neck/apply';
import { areDifferentAreas, findAreas, findPositions } from '../../../../src/core/neck/areas';
import { checkPlayable } from '../../../../src/core/neck/playable';
import { medianHand } from '../../../../src/core/neck/positions';
import type { Fingering } from '../../../../src/core/neck/problem';
import { problemOf } from '../../../../src/core/neck/problem-of';
import { findFingerings } from '../../../../src/core/neck/solve';
import type { Phrase } from '../../../../src/core/phrase/types';
import { seededPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';

const LINE = 'e 3/5 3/7 2/5 2/8(bend:A4) 2/5 3/7 3/5 4/7';

function stringsOf(p: Phrase, f: Fingering): string {
  const placed = applyFingering(p, f);
  return placed.voices[0].events.map((e) => `${e.notes[0].string}/${e.notes[0].fret}`).join(' ');
}

describe('[N5] areas', () => {
  it('are boxes of a pentatonic lick, the usual one first (common practice)', () => {
    const p = build(LINE);
    const found = findPositions(p, { count: 3, style: 'lead' });
    const places = found.map((f) => stringsOf(p, f));
    expect(places[0]).toBe('3/5 3/7 2/5 2/8 2/5 3/7 3/5 4/7');
    expect(places).toContain('4/10 4/12 3/9 3/12 3/9 4/12 4/10 5/12');
    for (const f of found) expect(checkPlayable(applyFingering(p, f))).toEqual([]);
  });

  it('need another string for a quarter of the fretted notes and another place by two frets', () => {
    const p = build('e 3/5 3/7 2/5 2/8');
    const problem = problemOf(p);
    const at = (places: [number, number][], hand: number): Fingering => ({
      cost: 0,
      places: new Map(places.map(([string, fret], i) => [`n${i + 1}`, { string, fret }])),
      handPositions: places.map(() => hand),
    });
    const home = at(
      [
        [3, 5],
        [3, 7],
        [2, 5],
        [2, 8],
      ],
      5,
    );
    const two = (hand: number) =>
      at(
        [
          [3, 5],
          [3, 7],
          [3, 9],
          [3, 12],
        ],
        hand,
      );
    expect(areDifferentAreas(problem, home, two(7))).toBe(true);
    expect(areDifferentAreas(problem, home, two(3))).toBe(true);
    expect(areDifferentAreas(problem, home, two(6))).toBe(false);
    const one = at(
      [
        [3, 5],
        [3, 7],
        [2, 5],
        [3, 12],
      ],
      9,
    );
    expect(areDifferentAreas(problem, home, one)).toBe(true);
    expect(areDifferentAreas(problem, home, { ...home, handPositions: [9, 9, 9, 9] })).toBe(false);
  });

  it('are none for a phrase that cannot be played, and one where all is pinned', () => {
    expect(findPositions(build('e - 3/7(h)'), { count: 3, style: 'lead' })).toEqual([]);
    const pinned = build('e 3/5(pin) 3/7(pin)');
    expect(findPositions(pinned, { count: 3, style: 'lead' })).toHaveLength(1);
    expect(findPositions(pinned, { count: 0, style: 'lead' })).toEqual([]);
  });

  it('are the greedy choice out of all fingerings, for short phrases', () => {
    let phrases = 0;
    let same = 0;
    let areas = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const p = seededPhrase(seed, { maxEvents: 6, without: ['second voice'] });
      const problem = problemOf(p);
      const all = findFingerings(problem, { style: 'lead', count: 2_500 });
      if (problem.notes.length < 3 || all.length === 2_500 || all.length === 0) continue;
      phrases++;
      const greedy: Fingering[] = [];
      for (const f of all) {
        if (greedy.length < 3 && greedy.every((g) => areDifferentAreas(problem, g, f)))
          greedy.push(f);
      }
      const found = findAreas(problem, { count: 3, style: 'lead' });
      areas += greedy.length;
      greedy.forEach((g, i) => {
        if (found[i] !== undefined && Math.abs(found[i].cost - g.cost) < 1e-9) same++;
      });
    }
    console.log(`${same} of ${areas} areas of ${phrases} short phrases are the cheapest possible`);
    expect(phrases).toBeGreaterThan(15);
    expect(same / areas).toBeGreaterThan(0.95);
  }, 30_000);

  it('are found for long phrases as well, each apart from the others', () => {
    const p = build(`${LINE} ${LINE} ${LINE} ${LINE}`);
    const problem = problemOf(p);
    const found = findAreas(problem, { count: 3, style: 'lead' });
    expect(found).toHaveLength(3);
    expect(found[0]!.cost).toBeCloseTo(findFingerings(problem, { style: 'lead' })[0]!.cost, 9);
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < i; j++)
        expect(areDifferentAreas(problem, found[j]!, found[i]!)).toBe(true);
    expect(new Set(found.map((f) => medianHand(problem, f))).size).toBe(3);
  });
});

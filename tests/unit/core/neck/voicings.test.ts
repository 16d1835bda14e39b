import { describe, expect, it } from 'vitest';
import { proposeFingers } from '../../../../src/core/neck/fingers';
import { checkPlayable } from '../../../../src/core/neck/playable';
import { problemOf } from '../../../../src/core/neck/problem-of';
import { findFingerings } from '../../../../src/core/neck/solve';
import { placeMidi, STANDARD_GUITAR } from '../../../../src/core/phrase/instrument';
import { notesOf } from '../../../../src/core/phrase/walk';
import { describeWithRef } from '../../../support/refs';
import { voicing } from '../../../support/voicing';

/** Fingers proposed from string 6 to string 1; 0 for an open string, x for none. */
function fingersOf(frets: string): string {
  const phrase = voicing(frets);
  const problem = problemOf(phrase, { keepPlaces: true });
  const [fingering] = findFingerings(problem, { style: 'chordal' });
  const fingers = proposeFingers(problem, fingering!);
  const byString = new Map(
    notesOf(phrase).map(({ note }) => [note.string, fingers.get(note.id) ?? 0]),
  );
  return [6, 5, 4, 3, 2, 1].map((s) => byString.get(s) ?? 'x').join(' ');
}

describe('[N3] common voicings (common practice)', () => {
  it.each([
    ['C', 'x 3 2 0 1 0', 'x 3 2 0 1 0'],
    ['G', '3 2 0 0 0 3', '2 1 0 0 0 3'],
    ['E', '0 2 2 1 0 0', '0 2 3 1 0 0'],
    ['B7', 'x 2 1 2 0 2', 'x 2 1 3 0 4'],
    ['F, a barre under three fingers', '1 3 3 2 1 1', '1 3 4 2 1 1'],
    ['A7 at fret 5', '5 7 5 6 5 5', '1 3 1 2 1 1'],
    ['E7♯9 at fret 6', 'x 7 6 7 8 x', 'x 2 1 3 4 x'],
    ['C9, the ring finger laid across', 'x 3 2 3 3 3', 'x 2 1 3 3 3'],
  ])('%s is playable and fingered as taught', (_, frets, fingers) => {
    expect(checkPlayable(voicing(frets))).toEqual([]);
    expect(fingersOf(frets)).toBe(fingers);
  });

  it.each([
    ['five fingers', '2 3 1 4 2 1', ['four-fingers']],
    ['an open string between two notes at one fret breaks the barre', '1 2 0 3 0 1', []],
    ['and with a fourth and fifth note the hand', '1 2 0 3 4 1', ['four-fingers']],
    ['seven frets low on the neck', '1 x x x x 8', ['reach']],
    ['the same seven frets high on the neck', '13 x x x x 20', []],
  ])('%s', (_, frets, rules) => {
    expect(checkPlayable(voicing(frets)).map((v) => v.rule)).toEqual(rules);
  });

  it('takes its measure of the reach from the neck', () => {
    const [v] = checkPlayable(voicing('1 x x x x 8'));
    expect(v?.mm).toBeCloseTo(239.786 - 36.369, 2);
    expect(v?.message).toBe('the hand would reach 203 mm, more than 130');
  });
});

interface Voicing {
  readonly frets: readonly number[];
  readonly fingers: readonly number[];
  readonly baseFret: number;
  readonly midi: readonly number[];
}

interface ChordsDb {
  readonly chords: Readonly<
    Record<string, readonly { key: string; suffix: string; positions: readonly Voicing[] }[]>
  >;
}

describeWithRef('published voicings (chords-db, MIT)', 'data/chords-db/guitar.json', (text) => {
  const db = JSON.parse(text) as ChordsDb;
  const all = Object.values(db.chords).flatMap((list) =>
    list.flatMap((c) => c.positions.map((v) => ({ name: c.key + c.suffix, ...v }))),
  );
  const absolute = (v: Voicing) => v.frets.map((f) => (f > 0 ? f + v.baseFret - 1 : f));
  const text6 = (v: Voicing) =>
    absolute(v)
      .map((f) => (f < 0 ? 'x' : f))
      .join(' ');

  it('[N2] agree with placeMidi in string, fret and MIDI number, all 3,283', () => {
    expect(all).toHaveLength(3_283);
    for (const v of all) {
      const midi = absolute(v).flatMap((fret, i) =>
        fret < 0 ? [] : [placeMidi(STANDARD_GUITAR, { string: 6 - i, fret })],
      );
      expect(midi).toEqual(v.midi);
    }
  });

  it('[N3] are playable but for one that contradicts itself', () => {
    const refused = all.filter((v) => checkPlayable(voicing(text6(v))).length > 0);
    console.log(`${all.length - refused.length} of ${all.length} published voicings are playable`);
    // Its index finger is laid across strings 6 to 2 at fret 8, and string 3 under it is to sound fret 7.
    expect(refused.map((v) => `${v.name}: ${text6(v)}`)).toEqual(['C9: 8 10 8 7 8 10']);
  }, 30_000);

  it('have mostly the fingers that are proposed', () => {
    let notes = 0;
    let agreed = 0;
    for (const v of all.filter((_, i) => i % 5 === 0)) {
      const ours = fingersOf(text6(v)).split(' ');
      v.fingers.forEach((finger, i) => {
        if (finger === 0) return;
        notes++;
        if (Number(ours[i]) === finger) agreed++;
      });
    }
    console.log(`fingers agree in ${agreed} of ${notes} notes`);
    expect(agreed / notes).toBeGreaterThan(0.8);
  }, 30_000);
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { joinFeatures, joinScore } from '../../../../src/core/joins/join';
import { longestQuote } from '../../../../src/core/joins/quote';
import { logShares } from '../../../../src/core/joins/share';
import { sketchOf } from '../../../../src/core/joins/sketch';
import { RANDOM_JOIN } from '../../../../src/core/joins/weights';
import { joinWords } from '../../../../src/core/joins/words';
import { TICKS_PER_QUARTER } from '../../../../src/core/phrase/types';

/** Eighths from a beat on. */
const line = (beat: number, ...midi: number[]) =>
  sketchOf(
    midi.map((m, i) => ({
      onset: (beat + i / 2) * TICKS_PER_QUARTER,
      duration: TICKS_PER_QUARTER / 2,
      midi: m,
    })),
  );

// Reckoned by hand from the definitions of the features.
describe('a join', () => {
  const a = line(0, 60, 62, 64, 67);

  it('repeats what was just heard', () => {
    const f = joinFeatures(a, line(4, 60, 62, 64, 67));
    expect(f).toMatchObject({ pitches: 1, newTones: 0, echo: 1, figures: 1, cells: 1 });
    expect(f).toMatchObject({ peak: 0, floor: 0, pulse: 0, density: 0, length: 0 });
    expect(f.quotes).toBeCloseTo(4 / 6, 12);
    expect(f.leap).toBeCloseTo((67 - 60 - 4) / 12, 12);
    expect(f.register).toBeCloseTo(0, 12);
    expect(f).toMatchObject({ quotesEarlier: 0, figuresEarlier: 0, densityEarlier: 0 });
  });

  it('is moved by semitones without another sketch', () => {
    const moved = joinFeatures(a, line(4, 60, 62, 64, 67), 5);
    const written = joinFeatures(a, line(4, 65, 67, 69, 72));
    expect(moved).toEqual(written);
    // Of F G A C only G was heard.
    expect(moved.pitches).toBe(0.25);
    // C was heard too, an octave lower.
    expect(moved.newTones).toBe(0.5);
    expect(moved.quotes).toBeCloseTo(1 / 6, 12);
    expect(moved).toMatchObject({ peak: 5 / 12, floor: 5 / 12, cells: 1 });
  });

  it('knows a step over the rest, and what begins and closes like another', () => {
    // Ends on G as before, by the same third; begins on the note of the phrase before the last.
    const next = line(4, 69, 62, 64, 67);
    const earlier = line(-4, 69, 72);
    const f = joinFeatures(a, next, 0, earlier);
    expect(f).toMatchObject({ near: 1, lands: 1, cadence: 0.5, beginsAlike: 1 });
    expect(joinFeatures(a, next, 12, earlier)).toMatchObject({ near: 0, lands: 0, beginsAlike: 0 });
    expect(joinFeatures(a, line(4, 67, 66))).toMatchObject({ near: 0, cadence: 0 });
  });

  it('finds the head anywhere in the phrase before, and note values that differ', () => {
    const before = line(0, 71, 69, 60, 62, 64);
    const quarters = sketchOf(
      [60, 62, 64].map((midi, i) => ({
        onset: i * TICKS_PER_QUARTER,
        duration: TICKS_PER_QUARTER,
        midi,
      })),
    );
    const f = joinFeatures(before, quarters);
    expect(f.echo).toBe(0.75);
    // The same steps, in quarters where they were eighths.
    expect(f.figures).toBe(0);
    expect(f.pulse).toBe(1);
    expect(f.density).toBeCloseTo(1, 12);
  });

  it('hears the phrase before the one before', () => {
    const b = line(8, 60, 62, 64, 69, 67);
    const alone = joinFeatures(line(4, 71, 74, 78), b);
    const after = joinFeatures(line(4, 71, 74, 78), b, 0, a);
    expect(after).toMatchObject({ quotesEarlier: 0.5, figuresEarlier: 2 / 3, densityEarlier: 0 });
    // After B D F♯ alone all but D are new; only A is where C D E G were heard before.
    expect([alone.newTones, after.newTones]).toEqual([0.8, 0.2]);
  });

  it('quotes as long a run as is found by trying all of them', () => {
    const pitches = fc.array(fc.integer({ min: 60, max: 63 }), { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(pitches, pitches, fc.integer({ min: -2, max: 2 }), (earlier, phrase, k) => {
        let longest = 0;
        for (let i = 0; i < earlier.length; i++) {
          for (let j = 0; j < phrase.length; j++) {
            let run = 0;
            while (i + run < earlier.length && earlier[i + run] === phrase[j + run]! + k) run++;
            longest = Math.max(longest, run);
          }
        }
        expect(longestQuote(line(0, ...earlier), line(0, ...phrase), k)).toBe(longest);
      }),
    );
  });

  it('prefers what is near and alike, and says why', () => {
    const near = joinFeatures(a, line(4, 67, 64, 62, 60));
    const far = joinFeatures(a, line(4, 90, 78, 91, 77));
    expect(joinScore(near)).toBeGreaterThan(joinScore(far));
    expect(joinWords(near)).toEqual(['keeps the pace', 'stays with the notes that were heard']);
    expect(joinWords(far).at(-1)).toBe('leaps from the phrase before');
    // That a step is no leap is not said beside it.
    const step = joinWords({ ...RANDOM_JOIN, leap: 0, near: 1 });
    expect(step).toEqual(['begins a step from where the phrase before ended']);
    expect(joinWords({ ...RANDOM_JOIN, leap: 0, near: 0 })).toEqual([
      'begins near where the phrase before ended',
    ]);
  });

  it('counts shares that sum to one', () => {
    const shares = logShares([3, 1, 900, -Infinity]);
    expect(shares.reduce((s, x) => s + Math.exp(x), 0)).toBeCloseTo(1, 12);
  });
});

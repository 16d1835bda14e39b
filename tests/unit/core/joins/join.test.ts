import { describe, expect, it } from 'vitest';
import { joinFeatures, joinScore } from '../../../../src/core/joins/join';
import { logShares } from '../../../../src/core/joins/share';
import { sketchOf } from '../../../../src/core/joins/sketch';
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
    expect(f).toMatchObject({ pitches: 1, echo: 1, figures: 1, pulse: 0, density: 0, length: 0 });
    expect(f.leap).toBeCloseTo((67 - 60 - 4) / 12, 12);
    expect(f.register).toBeCloseTo(0, 12);
    expect(f.tonesEarlier).toBe(0);
  });

  it('is moved by semitones without another sketch', () => {
    const moved = joinFeatures(a, line(4, 60, 62, 64, 67), 5);
    const written = joinFeatures(a, line(4, 65, 67, 69, 72));
    expect(moved).toEqual(written);
    // Of F G A C only G was heard.
    expect(moved.pitches).toBe(0.25);
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
    expect(f.figures).toBe(1);
    expect(f.pulse).toBe(1);
    expect(f.density).toBeCloseTo(1, 12);
  });

  it('prefers what is near and alike, and says why', () => {
    const near = joinFeatures(a, line(4, 67, 64, 62, 60));
    const far = joinFeatures(a, line(4, 90, 78, 91, 77));
    expect(joinScore(near)).toBeGreaterThan(joinScore(far));
    expect(joinWords(near)).toContain('takes up pitches that were just heard');
    expect(joinWords(far).at(-1)).toBe('leaps from the phrase before');
  });

  it('counts shares that sum to one', () => {
    const shares = logShares([3, 1, 900, -Infinity]);
    expect(shares.reduce((s, x) => s + Math.exp(x), 0)).toBeCloseTo(1, 12);
  });
});

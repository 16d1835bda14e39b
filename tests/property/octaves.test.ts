import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { movePhrase } from '../../src/core/move/move';
import { type Destination, type Moved, OCTAVE_CHOICES } from '../../src/core/move/request';
import type { Phrase } from '../../src/core/phrase/types';
import { parseChordOrRoman } from '../../src/core/theory/roman';
import { arbPhrase } from '../support/arbitrary';
import { judgeOctaves } from '../support/brute-octaves';
import { runs } from '../support/thorough';

// M7 against an oracle that tries every combination of octaves (tests/support/brute-octaves.ts).

const SYMBOLS = ['I7', 'IV7', 'V7', 'iim7', 'vim7', 'bIImaj7', 'bV7', 'F#m7b5', 'Ab6', 'B7alt'];

function laneOf(p: Phrase, picks: readonly number[]): Destination {
  const chord = (i: number) => {
    const r = parseChordOrRoman(SYMBOLS[picks[i % picks.length]! % SYMBOLS.length]!, p.key);
    if (!r.ok) throw new Error(r.problems[0]!.message);
    return r.value;
  };
  const bars = p.bars.map((b, i) =>
    b.meter.beats > 1 && picks[i % picks.length]! % 2 === 0
      ? [chord(2 * i), chord(2 * i + 1)]
      : [chord(2 * i)],
  );
  return { kind: 'lane', bars };
}

/** Where the hand, a bend or a harmonic needed something else, the octaves were not the last word. */
function isPlain(m: Moved): boolean {
  return ![...m.report.general, ...m.report.notes.flatMap((n) => n.adaptations)].some(
    (a) => a.rule === 'P5' || a.rule === 'M10' || a.rule === 'M11' || /than asked/u.test(a.text),
  );
}

describe('M7', () => {
  it.each(['chord', 'real'] as const)(
    'no combination of octaves is better than the one chosen (%s)',
    (way) => {
      const seen = { judged: 0, joined: 0, turned: 0 };
      fc.assert(
        fc.property(
          arbPhrase(),
          fc.array(fc.nat(99), { minLength: 6, maxLength: 6 }),
          fc.constantFrom(...OCTAVE_CHOICES),
          (p, picks, octave) => {
            const r = movePhrase(p, { to: laneOf(p, picks), way, octave, hand: 'area' });
            if (!r.ok || !isPlain(r.value)) return;
            const verdict = judgeOctaves(p, r.value, way, octave);
            if (verdict === null) return;
            expect(verdict.chosen, `${verdict.bestShifts} is better`).toEqual(verdict.best);
            seen.judged++;
            if (verdict.segments > 1) seen.joined++;
            if (verdict.best[2] > 0) seen.turned++;
          },
        ),
        { seed: 20_261_127, numRuns: runs(60, 250) },
      );
      console.log(`M7 by ${way}:`, seen);
      expect(seen.joined).toBeGreaterThan(runs(14, 60));
    },
    120_000,
  );
});

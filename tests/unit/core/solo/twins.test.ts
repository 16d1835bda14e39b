import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import { Placer, type Sketched } from '../../../../src/core/solo/placer';
import { Playing } from '../../../../src/core/solo/playing';
import { Twins } from '../../../../src/core/solo/twins';
import { readSamples } from '../../../support/samples';

const samples = readSamples()
  .map((s) => s.phrase)
  .filter((p) => p.bars.length <= 2);
const laid = layForm(standardForm('blues')!, { letter: 'A', alter: 0 });
if (!laid.ok) throw new Error('the blues is no form');
const form = laid.value;

/** Every sample twice, much faster than the form and, under another id and title, much slower. */
const phrases = samples.flatMap((p) => [
  { ...p, tempo: { ...p.tempo, bpm: 300 } },
  {
    ...structuredClone(p),
    id: `${p.id}-2`,
    meta: { ...p.meta, title: 'Again' },
    tempo: { ...p.tempo, bpm: 30 },
  },
]);
const placer = new Placer(form, phrases);
const twins = new Twins(phrases, (start, bars) => placer.windowAt(start, bars));
const at = (index: number, start: number): readonly Sketched[] => {
  const placed = placer.at(index, start, 1);
  return placed.ok ? placed.value : [];
};

describe('candidates that are the same music', () => {
  it('are twins under other names, over the same chords, in the same octave', () => {
    const [usual, other] = at(0, 0);
    expect(other?.octaves).not.toBe(usual!.octaves);
    expect(twins.are(usual!, at(1, 0)[0]!)).toBe(true);
    expect(twins.are(usual!, other!)).toBe(false);
    expect(twins.are(usual!, at(2, 0)[0]!)).toBe(false);
    // Bars 1 and 3 are over I7, bar 5 over IV7.
    const one = samples.findIndex((p) => p.bars.length === 1);
    expect(twins.are(at(2 * one, 0)[0]!, at(2 * one + 1, 2)[0]!)).toBe(true);
    expect(twins.are(at(2 * one, 0)[0]!, at(2 * one + 1, 4)[0]!)).toBe(false);
  });

  it('lie on the same places whatever tempo they were written in, or cannot be played for the same reason', () => {
    const playing = new Playing(placer);
    const reason = (c: Sketched) => {
      const made = playing.of(c);
      return made.ok ? 'played' : made.problems[0]!.message;
    };
    const lies = (c: Sketched) => {
      const made = playing.of(c);
      return made.ok ? made.value.phrase.voices : null;
    };
    const told = new Set<string>();
    for (let i = 0; i < phrases.length; i += 2) {
      for (const [k, c] of at(i, 0).entries()) {
        const twin = at(i + 1, 0)[k]!;
        expect(twins.are(c, twin)).toBe(true);
        expect(reason(twin)).toBe(reason(c));
        expect(lies(twin)).toEqual(lies(c));
        told.add(reason(c));
      }
    }
    expect(told.size).toBeGreaterThan(1);
  });
});

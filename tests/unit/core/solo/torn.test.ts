import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import { lineOf } from '../../../../src/core/solo/line';
import { proposeSolos } from '../../../../src/core/solo/propose';
import { TORN_WORDS, tornAt } from '../../../../src/core/solo/torn';
import { readSamples } from '../../../support/samples';

const line = (...midi: number[]) => midi.map((m, i) => ({ onset: i, duration: 1, midi: m }));

describe('a line that leaps where it did not', () => {
  it('is one with an interval that a nearer octave would have kept', () => {
    expect(tornAt(line(60, 62, 64), line(65, 67, 69))).toBe(0);
    // From I to IV in the middle goes up a fourth, as near as it can.
    expect(tornAt(line(60, 62, 64), line(60, 67, 69))).toBe(0);
    expect(tornAt(line(60, 62, 64), line(60, 54, 57))).toBe(1);
    expect(tornAt(line(60, 62, 60), line(60, 74, 60))).toBe(2);
    expect(tornAt(line(60), line(72))).toBe(0);
  });

  it('seldom stands in a chorus, and says so where it does', () => {
    const phrases = readSamples().map((s) => s.phrase);
    let parts = 0;
    let torn = 0;
    for (const form of [standardForm('aaba')!, standardForm('blues-turnaround')!]) {
      const laid = layForm(form, { letter: 'B', alter: -1 });
      if (!laid.ok) throw new Error(form.id);
      const made = proposeSolos(
        { form: laid.value, phrases, options: { seed: 1, count: 6, most: 3 } },
        (n) => ({ id: `solo-${n}`, tempo: form.tempo, meta: phrases[0]!.meta }),
      );
      if (!made.ok) throw new Error(form.id);
      for (const { phrase, parts: own } of made.value) {
        for (const [i, part] of own.entries()) {
          const { tuplets, events } = phrase.voices[0];
          const mine = events.filter((e) => e.notes[0].id.startsWith(`${i + 1}-`));
          const heard = lineOf({ ...phrase, voices: [{ events: mine, tuplets }] });
          const leaps = tornAt(lineOf(part.phrase), heard) > 0;
          expect(part.why.includes(TORN_WORDS), part.phrase.meta.title).toBe(leaps);
          parts++;
          if (leaps) torn++;
        }
      }
    }
    expect(parts).toBeGreaterThan(60);
    // 13 of 95 do where it counts nothing.
    expect(torn / parts).toBeLessThan(0.06);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import { build } from '../../../support/build';

const EIGHTH = 5_040;
const FOUR_FOUR = build('q 3/5 3/7 3/9 3/5', { chords: 'C7' });

function ask(text: unknown, p = FOUR_FOUR) {
  return runCommand(startEditing(p), commandOf('bar.pickup')!, text);
}

const pickupOf = (text: string, p = FOUR_FOUR) => {
  const outcome = ask(text, p);
  return outcome.kind === 'done' ? outcome.state.phrase.pickup : outcome.because;
};

describe('the pickup', () => {
  it.each([
    ['3', 3 * EIGHTH],
    ['1 eighth', EIGHTH],
    ['1.5', 1.5 * EIGHTH],
    ['1,5 eighths', 1.5 * EIGHTH],
    ['1 16th', EIGHTH / 2],
    ['7 sixteenths', 3.5 * EIGHTH],
    ['3 quarters', 6 * EIGHTH],
    ['1 dotted quarter', 3 * EIGHTH],
    ['3 triplet eighths', 2 * EIGHTH],
    ['1/8', EIGHTH],
    ['3/16', 1.5 * EIGHTH],
    ['an eighth', EIGHTH],
    ['dotted quarter', 3 * EIGHTH],
    ['a quarter and a 16th', 2.5 * EIGHTH],
    ['two quavers', 2 * EIGHTH],
    ['127 128ths', 40_320 - 315],
  ])('takes %s', (text, ticks) => {
    expect(pickupOf(text)).toBe(ticks);
  });

  it('holds triplets whole, and says so', () => {
    const outcome = ask('2 triplet eighths');
    expect(outcome.kind === 'done' && [outcome.state.phrase.pickup, outcome.say]).toEqual([
      2 * EIGHTH,
      'a pickup of a quarter; its tuplet begins with a rest',
    ]);
    expect(pickupOf('4 triplet eighths')).toBe(4 * EIGHTH);
  });

  it('takes every whole number of 128ths shorter than the bar, and keeps the notes', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('2/4', '3/4', '4/4', '6/8', '12/8', '7/8'),
        fc.integer({ min: 1, max: 200 }),
        (meter, count) => {
          const [beats, type] = meter.split('/').map(Number) as [number, number];
          const p = build('e 3/5 -', { meter, bars: 1 });
          const fits = count < (128 * beats) / type;
          const outcome = ask(`${count} 128ths`, p);
          if (!fits) {
            expect(outcome).toMatchObject({ because: 'a pickup is shorter than its bar' });
          } else if (outcome.kind === 'done') {
            const { phrase } = outcome.state;
            expect(phrase.pickup).toBe(count * 315);
            expect(phrase.voices[0].events[0]!.onset).toBe(count * 315);
          } else throw new Error(outcome.because);
        },
      ),
    );
  });

  it('is taken off, and not set twice', () => {
    const set = ask('1 16th');
    if (set.kind !== 'done') throw new Error(set.because);
    expect(pickupOf('1 16th', set.state.phrase)).toBe('the pickup is so long already');
    expect(pickupOf('0', set.state.phrase)).toBe(0);
    expect(pickupOf('none', set.state.phrase)).toBe(0);
  });

  it.each([
    ['a while', 'it is no length: write 3 eighths, 1/16, dotted quarter, 2 triplet eighths or 0'],
    ['', 'it is no length: write 3 eighths, 1/16, dotted quarter, 2 triplet eighths or 0'],
    ['triplet', 'it is no length: write 3 eighths, 1/16, dotted quarter, 2 triplet eighths or 0'],
    ['0.3', 'a pickup is a whole number of 128ths'],
    ['8 eighths', 'a pickup is shorter than its bar'],
  ])('does not take %j', (text, because) => {
    expect(pickupOf(text)).toBe(because);
  });
});

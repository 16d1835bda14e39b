import { describe, expect, it } from 'vitest';
import { inputWords } from '../../../../src/ui/catch/heard-words';
import { meter } from '../../../../src/ui/catch/meter';

const RATE = 48_000;
const quarterSecond = (peak: number) =>
  Float32Array.from({ length: RATE / 4 }, (_, i) => (i === 7 ? -peak : 0));

/** What is said after each quarter of a second of sounds of these peaks. */
function said(...sounds: readonly (readonly [seconds: number, peak: number])[]) {
  const read = meter();
  return sounds.flatMap(([seconds, peak]) =>
    Array.from({ length: 4 * seconds }, () => {
      const now = read(quarterSecond(peak), RATE);
      return inputWords({ ...now, slow: false, rate: RATE });
    }),
  );
}
const LOUD = 'It was too loud: turn the input down.';
const NOTHING = 'Nothing is heard: check which input is chosen, and turn it up.';
const USUAL = 'The last five minutes are remembered, as they come in at 48 kHz.';

describe('what is said of how loud an input is', () => {
  it('says that it was too loud until it has been well for ten seconds', () => {
    const words = said([1, 0.4], [1, 1], [12, 0.4]);
    expect(words.slice(0, 4)).toEqual(Array(4).fill(USUAL));
    expect(words.slice(4, 8 + 39)).toEqual(Array(4 + 39).fill(LOUD));
    expect(words.slice(8 + 39)).toEqual(Array(9).fill(USUAL));
    // Once more, it is said once more.
    expect(said([1, 1], [12, 0.4], [1, 1]).at(-1)).toBe(LOUD);
  });

  it('says after five seconds that nothing is heard, also soon after it was too loud', () => {
    const words = said([1, 1], [7, 0.001]);
    expect(words[4 + 19]).toBe(LOUD);
    expect(words.slice(4 + 20)).toEqual(Array(8).fill(NOTHING));
    expect(said([8, 0], [1, 0.2]).at(-1)).toBe(USUAL);
  });
});

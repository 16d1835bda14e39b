import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import { proposeSolos } from '../../../../src/core/solo/propose';
import { build } from '../../../support/build';

/** Two phrases of a bar over so many bars of one chord. */
function over(bars: number) {
  const phrases = ['e 3/5 3/7 2/5 2/8 1/5 2/8 2/5 3/7', 'q 2/5 2/7 e 1/5 1/7 q 1/5'].map(
    (text, i) => ({ ...build(text, { chords: 'A7', key: 'A', title: `p${i}` }), id: `p${i}` }),
  );
  const sections = [{ name: 'A', bars: Array(bars).fill('I7').join('|') }] as const;
  const laid = layForm({ ...standardForm('one-chord')!, sections }, { letter: 'A', alter: 0 });
  if (!laid.ok) throw new Error(laid.problems[0]?.message);
  return proposeSolos({ form: laid.value, phrases, options: {} }, () => ({
    id: 'solo',
    tempo: laid.value.form.tempo,
    meta: { title: '', tags: [], created: 'x', modified: 'x' },
  }));
}

describe('a long solo', () => {
  it('has no bar empty for want of phrases that stand seldom', () => {
    // Took 27 s and left every second bar empty.
    const made = over(96);
    if (!made.ok) throw new Error(made.problems[0]?.message);
    const [{ parts, empty } = { parts: [], empty: null }] = made.value;
    expect(empty).toEqual([]);
    expect(parts).toHaveLength(96);
  });

  it('is refused where the way through it could not be found in any time', () => {
    expect(over(301)).toEqual({
      ok: false,
      problems: [
        {
          message: 'that is 301 bars, and at most 300 are filled at once',
          fix: 'Take fewer choruses, or a shorter form.',
        },
      ],
    });
  });
});

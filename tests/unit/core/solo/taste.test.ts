import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import { notesOf } from '../../../../src/core/phrase/walk';
import { Placer } from '../../../../src/core/solo/placer';
import { proposeSolos } from '../../../../src/core/solo/propose';
import { wishesMet } from '../../../../src/core/solo/taste';
import type { Solo } from '../../../../src/core/solo/types';
import type { SoloTaste } from '../../../../src/core/solo/wanted';
import { readSamples } from '../../../support/samples';

const phrases = readSamples().map((s) => s.phrase);
const inA = (name: string) => {
  const laid = layForm(standardForm(name)!, { letter: 'A', alter: 0 });
  if (!laid.ok) throw new Error(name);
  return { form: laid.value, placer: new Placer(laid.value, phrases) };
};
const { form, placer } = inA('one-chord');

const NOW = '2026-01-01T00:00:00.000Z';
const frame = (n: number) => ({
  id: `solo-${n}`,
  tempo: { bpm: 100, unit: 'quarter' } as const,
  meta: { title: 'A solo', tags: [], created: NOW, modified: NOW },
});

function soloWith(taste: SoloTaste) {
  const made = proposeSolos({ form, phrases, options: { taste } }, frame, placer);
  if (!made.ok) throw new Error(made.problems[0]?.message);
  return made.value[0]!;
}

describe('what is wanted of a solo', () => {
  it('brings the signs that are wished for, and says so', () => {
    const share = (taste: SoloTaste) => {
      const { parts } = soloWith(taste);
      return parts.reduce((n, p) => n + wishesMet(p.phrase, ['bends']), 0) / parts.length;
    };
    const wished = soloWith({ wishes: ['bends'] });
    expect(share({ wishes: ['bends'] })).toBeGreaterThan(share({}));
    expect(wished.parts.some((p) => p.why.includes('has bends'))).toBe(true);
  });

  it('is denser towards the end where it is to build up, on the average of four forms', () => {
    // Of six draws each, 50.9% of the notes lie in the later half, and 55.7 with the wish. A form by itself may fall in few draws.
    const forms = ['one-chord', 'two-chords', 'minor-blues', 'eight-bars'].map(inA);
    const middle = (s: Solo) => s.phrase.pickup + (s.phrase.length - s.phrase.pickup) / 2;
    const lateIn = (s: Solo) => {
      const notes = notesOf(s.phrase);
      return notes.filter(({ event }) => event.onset >= middle(s)).length / notes.length;
    };
    const late = (taste: SoloTaste) => {
      const shares = forms.flatMap(({ form, placer }) => {
        const options = { taste, seed: 3, count: 3 };
        const made = proposeSolos({ form, phrases, options }, frame, placer);
        if (!made.ok) throw new Error(made.problems[0]?.message);
        return made.value.map(lateIn);
      });
      return shares.reduce((a, b) => a + b, 0) / shares.length;
    };
    expect(late({ course: 'build' })).toBeGreaterThan(late({}) + 0.01);
  });
});

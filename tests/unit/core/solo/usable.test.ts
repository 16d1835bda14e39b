import { describe, expect, it } from 'vitest';
import { layForm } from '../../../../src/core/form/lay';
import { standardForm } from '../../../../src/core/form/standard';
import { isLine, usablePhrases } from '../../../../src/core/solo/usable';
import { readSamples } from '../../../support/samples';

const samples = readSamples().map((s) => s.phrase);

describe('what a solo is made of', () => {
  it('is lines and double stops, and what accompanies only where it is asked for', () => {
    const accompany = samples.filter((p) => !isLine(p)).map((p) => p.meta.title);
    expect(accompany).toEqual([
      'Harbour Wall Drone',
      'Low Water Riff',
      'Fish Market Scratch',
      'Four Stairs Down',
    ]);
    const laid = layForm(standardForm('blues')!, { letter: 'A', alter: 0 });
    if (!laid.ok) throw new Error('the blues is no form');
    const titles = (chords: boolean) =>
      usablePhrases(samples, laid.value, { chords }).map((i) => samples[i]!.meta.title);
    expect(titles(false)).not.toContain('Fish Market Scratch');
    expect(titles(true)).toContain('Fish Market Scratch');
  });
});

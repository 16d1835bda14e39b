import { Scale } from 'tonal';
import { describe, expect, it } from 'vitest';
import { degreeSemitones } from '../../../../src/core/theory/degree';
import { SCALE_NAMES, scaleNamed } from '../../../../src/core/theory/scales';

/** What the dictionary calls a scale where it has another name. */
const THEIRS: Readonly<Record<string, string>> = { blues: 'minor blues' };

describe('scales', () => {
  it('are those of the tonal package (6.4.3), step by step', () => {
    for (const name of SCALE_NAMES) {
      const theirs = Scale.get(`C ${THEIRS[name] ?? name}`);
      expect(theirs.empty, name).toBe(false);
      const wanted = theirs.intervals.map((i) => semitones(i));
      expect(scaleNamed(name)!.degrees.map(degreeSemitones), name).toEqual(wanted);
    }
  });

  it('are found in either case, by other names and with hyphens', () => {
    expect(scaleNamed('Minor-Pentatonic')?.name).toBe('minor pentatonic');
    expect(scaleNamed('Aeolian')?.name).toBe('minor');
    expect(scaleNamed('half whole diminished')?.name).toBe('half-whole diminished');
    expect(scaleNamed('nonesuch')).toBeNull();
  });
});

/** `3m` as semitones. */
function semitones(interval: string): number {
  const [, number, quality] = /^(\d+)([PMmAd])$/u.exec(interval)!;
  const natural = [0, 2, 4, 5, 7, 9, 11][Number(number) - 1]!;
  const perfect = ['1', '4', '5'].includes(number!);
  return natural + { P: 0, M: 0, m: -1, A: 1, d: perfect ? -1 : -2 }[quality as 'P']!;
}

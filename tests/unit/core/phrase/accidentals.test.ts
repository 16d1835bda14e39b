import { describe, expect, it } from 'vitest';
import { accidentalsOf, signatureAlters } from '../../../../src/core/phrase/accidentals';
import { parsePitch } from '../../../../src/core/theory/pitch';

/** Notes by name; `~` marks one that continues a tie. */
function read(names: string) {
  return names.split(' ').map((name) => {
    const r = parsePitch(name.replace('~', ''));
    if (!r.ok) throw new Error(name);
    return { pitch: r.value, tied: name.endsWith('~') };
  });
}

function shown(fifths: number, names: string): string {
  const notes = read(names);
  const marks = accidentalsOf(fifths, notes, new Map()).shown;
  return names
    .split(' ')
    .filter((_, i) => marks[i] === 'needed')
    .join(' ');
}

describe('accidentals that are needed (common practice)', () => {
  it.each([
    // What the signature says needs no sign, what it does not say needs one.
    [0, 'C4 F#4 G4', 'F#4'],
    [1, 'F#4 F4 G4', 'F4'],
    [-3, 'Eb4 Ab4 Bb4 B4', 'B4'],
    // A sign holds to the end of the bar on its line, in its octave only.
    [0, 'Eb4 Eb4 E4 E4 Eb5', 'Eb4 E4 Eb5'],
    // A sign of the same letter replaces it.
    [0, 'F#4 F##4 F#4 F4', 'F#4 F##4 F#4 F4'],
    // A note tied over the bar line has none and leaves none behind.
    [0, 'Bb4~ Bb4 Bb4', 'Bb4'],
    [-6, 'Cb4 Bbb4 Bb4', 'Bbb4 Bb4'],
  ])('signature %i: %s', (fifths, names, expected) => {
    expect(shown(fifths, names)).toBe(expected);
  });
});

describe('cautions (common practice)', () => {
  it.each([
    // In the bar after it, on the same line or space, where it has gone out of force.
    [0, 'C#4 E4', 'E4 C4 C4', 'C4'],
    [1, 'F4', 'F#4', 'F#4'],
    // Not in another octave, not where the bar cancelled it, not where a sign is needed anyway.
    [0, 'C#4', 'C5', ''],
    [0, 'C#4 C4', 'C4', ''],
    [0, 'C#4', 'Cb4', ''],
    // A tie brings it over the bar line without a sign.
    [0, 'C#4', 'C#4~ C4', 'C4'],
    [0, 'C#4~', 'C4', 'C4'],
  ])('signature %i: %s | %s', (fifths, before, names, expected) => {
    const { last } = accidentalsOf(fifths, read(before), new Map());
    const marks = accidentalsOf(fifths, read(names), last).shown;
    const cautioned = names.split(' ').filter((_, i) => marks[i] === 'cautionary');
    expect(cautioned.join(' ')).toBe(expected);
  });
});

describe('signatureAlters', () => {
  it('takes sharps and flats in their order (key signatures, common practice)', () => {
    expect([...signatureAlters(3)]).toEqual([
      ['F', 1],
      ['C', 1],
      ['G', 1],
    ]);
    expect([...signatureAlters(-4).keys()].join('')).toBe('BEAD');
    expect(signatureAlters(0).size).toBe(0);
    expect([...signatureAlters(7).values()]).toEqual([1, 1, 1, 1, 1, 1, 1]);
  });
});

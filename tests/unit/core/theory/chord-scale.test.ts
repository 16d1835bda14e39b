import { Scale } from 'tonal';
import { describe, expect, it } from 'vitest';
import { chordTones } from '../../../../src/core/theory/chord';
import {
  COLUMNS,
  homeScale,
  rowAcceptsSource,
  tableRow,
} from '../../../../src/core/theory/chord-scale';
import {
  type Degree,
  degree,
  degreeSemitones,
  degreeSign,
  formatDegree,
  parseDegree,
} from '../../../../src/core/theory/degree';
import { mod } from '../../../../src/core/theory/pitch';
import { describeWithRef, readTsv } from '../../../support/refs';
import { chord, degreeOfInterval, degreesText } from '../../../support/theory';

const row = (symbol: string) => {
  const cells = tableRow(chord(symbol));
  return COLUMNS.map((n) => {
    const d = cells[n];
    return d === null ? '=' : degreeSign(d);
  }).join(' ');
};

const accepts = (symbol: string, name: string) =>
  rowAcceptsSource(chord(symbol), parseDegree(name)!);

const EVERY: readonly Degree[] = ([1, 2, 3, 4, 5, 6, 7] as const).flatMap((n) =>
  ([-2, -1, 0, 1, 2] as const).map((a) => degree(n, a)),
);

/** The table of M4, row by row. */
const TABLE: readonly (readonly [string, string])[] = [
  ['C Cadd9 C6 C6/9 Cadd2 Cadd11', '2 3 4 5 6 ='],
  ['Cmaj7 Cmaj9 Cmaj11 Cmaj13', '2 3 4 5 6 7'],
  ['C7 C9 C11 C13 C13no11', '2 3 4 5 6 ♭7'],
  ['Csus4 Csus4add9 C6sus4', '2 4 4 5 6 ='],
  ['C7sus4 C9sus4 C13sus4', '2 4 4 5 6 ♭7'],
  ['Csus2', '2 2 4 5 6 ='],
  ['C5', '= = = 5 = ='],
  ['Cm Cm7 Cm9 Cm11 Cm13 Cmadd9', '2 ♭3 4 5 6 ♭7'],
  ['Cm6 Cm6/9', '2 ♭3 4 5 6 ='],
  ['Cm(maj7) Cm(maj9)', '2 ♭3 4 5 6 7'],
  ['Cm7b5', '♭2 ♭3 4 ♭5 ♭6 ♭7'],
  ['Cdim', '2 ♭3 4 ♭5 ♭6 ='],
  ['Cdim7', '2 ♭3 4 ♭5 ♭6 𝄫7'],
  ['Caug', '2 3 ♯4 ♯5 = ='],
  ['C7#5', '2 3 ♯4 ♯5 = ♭7'],
  ['Cmaj7#5', '2 3 ♯4 ♯5 6 7'],
  ['C7alt', '♭2 3 = ♭5 ♭6 ♭7'],
];

describe('the quality table (M4)', () => {
  it.each(TABLE)('%s: %s', (symbols, cells) => {
    for (const symbol of symbols.split(' ')) expect(row(symbol), symbol).toBe(cells);
  });

  it.each([
    // A named alteration changes only its own column.
    ['C7b9', '♭2 3 4 5 6 ♭7'],
    ['C7#9', '♯2 3 4 5 6 ♭7'],
    ['C7#11', '2 3 ♯4 5 6 ♭7'],
    ['C7b13', '2 3 4 5 ♭6 ♭7'],
    ['C7b5', '2 3 4 ♭5 6 ♭7'],
    ['C13b9', '♭2 3 4 5 6 ♭7'],
    ['C9#11', '2 3 ♯4 5 6 ♭7'],
    ['C7b9#11b13', '♭2 3 ♯4 5 ♭6 ♭7'],
    ['C7b9#9', '♭2 3 4 5 6 ♭7'],
    ['C9addb9', '2 3 4 5 6 ♭7'],
    ['Cmaj7#11', '2 3 ♯4 5 6 7'],
    ['Cmaj7b5', '2 3 4 ♭5 6 7'],
    ['Cm(b6)', '2 ♭3 4 5 ♭6 ♭7'],
    ['Cm7b9', '♭2 ♭3 4 5 6 ♭7'],
    ['Cm(#5)', '2 ♭3 4 ♯5 6 ♭7'],
    ['C7sus4b9', '♭2 4 4 5 6 ♭7'],
    ['Cmaj7sus4', '2 4 4 5 6 7'],
    ['C7sus2', '2 2 4 5 6 ♭7'],
    ['C7#5b9', '♭2 3 ♯4 ♯5 = ♭7'],
    ['C9#5', '2 3 ♯4 ♯5 = ♭7'],
    ['Cm9b5', '2 ♭3 4 ♭5 ♭6 ♭7'],
    ['Cdim(maj7)', '2 ♭3 4 ♭5 ♭6 7'],
    ['Cm6addmaj7', '2 ♭3 4 5 6 7'],
    ['C(b5)', '2 3 4 ♭5 6 ='],
    // Without a third the source keeps its own.
    ['C7no3', '2 = 4 5 6 ♭7'],
    ['C7no5', '2 3 4 5 6 ♭7'],
    // A slash bass does not change the row.
    ['C/F#', '2 3 4 5 6 ='],
    ['G/B', '2 3 4 5 6 ='],
  ])('%s: %s', (symbol, cells) => {
    expect(row(symbol)).toBe(cells);
  });
});

describe('under which number a source degree counts (M3, M4)', () => {
  it.each([
    // symbol, degrees R b2 2 b3 3 4 #4 b5 5 #5 b6 6 bb7 b7 7 in that order; - is outside the row
    ['C', '1 - 2 - 3 4 - - 5 - - 6 - 7 7'],
    ['C6', '1 - 2 - 3 4 - - 5 - - 6 - 7 7'],
    ['Cmaj7', '1 - 2 - 3 4 - - 5 - - 6 - - 7'],
    ['C7', '1 - 2 - 3 4 - - 5 - - 6 - 7 -'],
    // From sus its 4 or 2 is the third.
    ['Csus4', '1 - 2 - - 3 - - 5 - - 6 - 7 7'],
    ['C7sus4', '1 - 2 - - 3 - - 5 - - 6 - 7 -'],
    ['Csus2', '1 - 3 - - 4 - - 5 - - 6 - 7 7'],
    // A power chord claims its fifth and either seventh; a major third over it is its third.
    ['C5', '1 - - - 3 - - - 5 - - - - 7 7'],
    ['Cm', '1 - 2 3 - 4 - - 5 - - 6 - 7 -'],
    ['Cm6', '1 - 2 3 - 4 - - 5 - - 6 - 7 7'],
    ['Cm(maj7)', '1 - 2 3 - 4 - - 5 - - 6 - - 7'],
    ['Cm7b5', '1 2 - 3 - 4 - 5 - - 6 - - 7 -'],
    ['Cdim', '1 - 2 3 - 4 - 5 - - 6 - - 7 7'],
    // A major seventh over dim7 is chromatic.
    ['Cdim7', '1 - 2 3 - 4 - 5 - - 6 - 7 - -'],
    ['Caug', '1 - 2 - 3 - 4 - - 5 - - - 7 7'],
    ['C7#5', '1 - 2 - 3 - 4 - - 5 - - - 7 -'],
    ['C7alt', '1 2 - - 3 - - 5 - - 6 - - 7 -'],
    ['C7b9', '1 2 - - 3 4 - - 5 - - 6 - 7 -'],
  ])('%s: %s', (symbol, expected) => {
    const names = 'R b2 2 b3 3 4 #4 b5 5 #5 b6 6 bb7 b7 7'.split(' ');
    expect(names.map((n) => accepts(symbol, n) ?? '-').join(' ')).toBe(expected);
  });

  it('sends a degree of the row to itself when the quality stays (M13)', () => {
    const symbols = TABLE.flatMap(([s]) => s.split(' '));
    for (const symbol of [...symbols, 'C7b9', 'C7#9', 'C7b9#9', 'C7no3', 'Cm9b5', 'C7sus4b9']) {
      const c = chord(symbol);
      for (const d of EVERY) {
        const n = rowAcceptsSource(c, d);
        if (n === null) continue;
        const target = n === 1 ? degree(1) : (tableRow(c)[n] ?? d);
        expect(formatDegree(target), `${formatDegree(d)} over ${symbol}`).toBe(formatDegree(d));
      }
    }
  });
});

describe('home scales (M4)', () => {
  const scale = (name: string) => Scale.get(name).intervals.map(degreeOfInterval);
  const sounds = (all: readonly Degree[]) =>
    [...new Set(all.map((d) => mod(degreeSemitones(d), 12)))].sort((a, b) => a - b);

  it.each([
    ['Cmaj7', 'major'],
    ['C7', 'mixolydian'],
    ['C13', 'mixolydian'],
    ['C7#11', 'lydian dominant'],
    ['Cmaj7#11', 'lydian'],
    ['Cm7', 'dorian'],
    ['Cm', 'dorian'],
    ['Cm(maj7)', 'melodic minor'],
    ['Cm7b5', 'locrian'],
    ['Cm9b5', 'locrian #2'],
    ['Cmaj7#5', 'lydian augmented'],
    ['C7b9b13', 'phrygian dominant'],
    ['C7sus4', 'mixolydian'],
  ])('%s has the usual chord scale, %s (a sus4 without its third)', (symbol, name) => {
    const expected = scale(name).filter((d) => symbol !== 'C7sus4' || d.number !== 3);
    expect(expected.length).toBeGreaterThan(5);
    expect(degreesText(homeScale(chord(symbol)))).toBe(degreesText(expected));
  });

  it('is the altered scale over 7alt and the whole tone scale over 7#5, by sound', () => {
    expect(sounds(homeScale(chord('C7alt')))).toEqual(sounds(scale('altered')));
    expect(sounds(homeScale(chord('C7#5')))).toEqual(sounds(scale('whole tone')));
    // The diminished scale without its major seventh, which is chromatic over dim7 (M4).
    expect(sounds(homeScale(chord('Cdim7')))).toEqual(
      sounds(scale('diminished')).filter((n) => n !== 11),
    );
  });

  it.each([
    ['C', 'R 2 3 4 5 6'],
    ['C6', 'R 2 3 4 5 6'],
    ['Cm6', 'R 2 b3 4 5 6'],
    ['Csus4', 'R 2 4 5 6'],
    ['Csus2', 'R 2 4 5 6'],
    ['C5', 'R 5'],
    ['Caug', 'R 2 3 #4 #5'],
    ['Cdim', 'R 2 b3 4 b5 b6'],
    ['C7alt', 'R b2 #2 3 b5 b6 b7'],
    // Every tone of the symbol is at home, the slash bass too.
    ['C7b9#9', 'R b2 #2 3 4 5 6 b7'],
    ['C/Bb', 'R 2 3 4 5 6 b7'],
    ['C7no3', 'R 2 4 5 6 b7'],
  ])("%s, where '=' adds nothing, is %s", (symbol, expected) => {
    expect(degreesText(homeScale(chord(symbol)))).toBe(expected);
  });

  it('hold the chord, each degree once', () => {
    for (const symbol of TABLE.flatMap(([s]) => s.split(' '))) {
      const home = homeScale(chord(symbol)).map(formatDegree);
      expect(new Set(home).size).toBe(home.length);
      for (const d of chordTones(chord(symbol))) expect(home).toContain(formatDegree(d));
    }
  });
});

describeWithRef('scales table (tonal 6.4.3)', 'handbook/scales.tsv', (text) => {
  it.each([
    ['Cmaj7', 'major'],
    ['C7', 'mixolydian'],
    ['Cm7', 'dorian'],
    ['Cm7b5', 'locrian'],
    ['Cm(maj7)', 'melodic minor'],
    ['C7#11', 'lydian dominant'],
    ['Cmaj7#11', 'lydian'],
    ['C7b9b13', 'phrygian dominant'],
  ])('%s has %s', (symbol, name) => {
    const found = readTsv(text).find((r) => r.scale === name);
    const expected = (found?.intervals ?? '').split(' ').map(degreeOfInterval);
    expect(degreesText(homeScale(chord(symbol)))).toBe(degreesText(expected));
  });
});

import { describe, expect, it } from 'vitest';
import { checkPlayable } from '../../src/core/neck/playable';
import { barAt } from '../../src/core/phrase/time';
import { isUsualDegree } from '../../src/core/theory/degree';
import { formatKey } from '../../src/core/theory/key';
import { analyse } from '../../src/core/understand/analyse';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { encodePhrase } from '../../src/io/json';
import { build } from '../support/build';
import { type Coverage, FEATURES, heardDegrees, TECHNIQUES } from '../support/sample-coverage';
import { readSamples } from '../support/samples';

const samples = readSamples();
const phrases = samples.map((s) => s.phrase);

describe('every sample', () => {
  it.each(samples)('$name is valid, playable and canonical', ({ name, text, phrase }) => {
    expect(checkPhrase(phrase)).toEqual([]);
    expect(checkPlayable(phrase)).toEqual([]);
    expect(encodePhrase(phrase)).toBe(text);
    expect(phrase.id).toBe(`sample-${name}`);
    expect(phrase.parent).toBeNull();
    expect(phrase.meta.tags.length).toBeGreaterThan(2);
    expect(phrase.meta.level).toBeDefined();
    expect(phrase.meta.notes?.length).toBeGreaterThan(200);
  });

  // D1's list: a wrong letter (F♯ where the chord has G♭) almost always falls out of it.
  it.each(samples)('$name is spelled in degrees of common use', ({ phrase }) => {
    for (const r of analyse(phrase).readings) {
      expect(r.owner).not.toBeNull();
      for (const side of [r.start, r.heard]) {
        expect(side.chordDegree).not.toBeNull();
        expect(isUsualDegree(side.chordDegree!)).toBe(true);
        expect(Math.abs(side.pitch.alter)).toBeLessThan(2);
      }
    }
  });

  // None trails off: the last note, of a chord the lowest, belongs to the chord under it.
  it.each(samples)('$name ends on a chord tone', ({ phrase }) => {
    const last = analyse(phrase).readings.at(-1);
    expect(last?.role).toBe('chord tone');
  });
});

describe('the collection', () => {
  it('holds at least 24 phrases with titles, ids and numbers of their own', () => {
    expect(samples.length).toBeGreaterThanOrEqual(24);
    expect(new Set(phrases.map((p) => p.meta.title)).size).toBe(samples.length);
    expect(new Set(phrases.map((p) => p.id)).size).toBe(samples.length);
    expect(samples.map((s) => Number(s.name.slice(0, 2)))).toEqual(samples.map((_, i) => i + 1));
  });

  it('has mostly phrases of one to four bars', () => {
    const short = phrases.filter((p) => p.bars.length <= 4);
    expect(short.length / phrases.length).toBeGreaterThan(0.8);
  });

  it('uses many keys and every level', () => {
    expect(new Set(phrases.map((p) => formatKey(p.key))).size).toBeGreaterThanOrEqual(15);
    expect(new Set(phrases.map((p) => p.meta.level)).size).toBe(5);
  });

  describe('shows every technique', () => covered(TECHNIQUES));
  describe('shows every feature', () => covered(FEATURES));
});

function covered(table: Coverage): void {
  it('in a table without doubles', () => {
    expect(new Set(table.map(([what]) => what)).size).toBe(table.length);
  });

  // A test that one long open note passes too would prove nothing.
  const plain = build('h 1/1', { meter: '2/4', key: 'C', chords: 'F' });

  it.each(table)('%s', (_, shows) => {
    expect(shows(plain)).toBe(false);
    expect(samples.filter((s) => shows(s.phrase)).map((s) => s.name)).not.toEqual([]);
  });
}

/**
 * Degrees that the notes for students name, with the bars where they are heard, from the first to
 * the last of them in a row. Typed from the notes by hand.
 */
const CLAIMS: readonly (readonly [sample: number, quote: string, from: number, to: number])[] = [
  [1, '6, 5, 3 to a low R', 2, 2],
  [2, 'walks 4, ♯4', 2, 2],
  [4, '♭7, 6 of D7 into R', 2, 3],
  [6, '3 5 ♭7 R up over V', 9, 9],
  [6, '3 R ♭7 5 down over IV', 10, 10],
  [6, 'R 3 4 ♯4 in the bass', 11, 11],
  [8, '3 5 ♭7 ♭9', 2, 2],
  [9, 'R answers', 4, 4],
  [10, '3 2 R ♭7 of G7', 3, 3],
  [12, '5 and 4 of A', 2, 2],
  [13, '5 4 2 ♭7 of G5', 2, 2],
  [15, '♭5 4 ♭3 and R', 1, 1],
  [15, 'R ♭3 5', 2, 2],
  [15, '♭9 R ♭7 5', 3, 3],
  [16, '♭3 R 5 of Em', 2, 2],
  [16, '3 5 R 3 of C', 3, 3],
  [16, 'R 5 3 of D', 4, 4],
  [17, 'R ♭3 3', 1, 1],
  [19, '5 3 2 R', 2, 2],
  [20, '5 ♭3 R of Am', 1, 1],
  [20, 'R 5 3 of F', 2, 2],
  [20, 'R 5 3 of G', 3, 3],
  [21, '2 ♭3', 4, 4],
  [21, '4 to R', 4, 4],
  [22, 'R ♭7 3 R', 3, 3],
  [23, 'R ♭7 5 of Em', 1, 1],
  [23, '3 2 R of G', 2, 2],
  [23, '2 R of D down to 5', 3, 3],
  [24, '4 ♭3 ♭7 5 ♭3 R 5', 1, 1],
  [24, '5 R 3 of D', 2, 2],
  [25, '5 3 ♭7 5', 3, 3],
  [27, '2 ♭3 3, then R and ♭7', 1, 1],
  [27, '2 ♭3 3, then R and ♭7', 2, 2],
  [27, '2 ♭3 3, then R and ♭7', 3, 3],
  [28, 'R ♭3 ♭5 ♭7', 1, 1],
  [28, '♭6 ♭5 ♭2 ♭7 ♭6', 2, 2],
  [28, 'R ♭3 5 6', 3, 3],
  [29, 'R, ♭7 to R, 5, then ♭3 to 3, and 5 ♭7', 1, 1],
  [29, 'R, ♭7 to R, 5, then ♭3 to 3, and 5 ♭7', 2, 2],
  [29, 'R 3 5 and R 3 5', 3, 3],
  [31, '3 2 R ♭7 5', 2, 2],
  [31, 'R 2 3, and R', 4, 4],
  [32, '3 5 ♭7 of E7', 2, 2],
];

/** `♭9` and `♯4` as the program writes degrees in ASCII, where 9 is 2 (D1). */
function degreesIn(quote: string): readonly string[] {
  const found = quote.match(/(?<![A-Za-z])[♭♯]?(?:R|[2-7]|9)(?![A-Za-z0-9])/gu) ?? [];
  return found.map((d) => d.replace('♭', 'b').replace('♯', '#').replace('9', '2'));
}

describe('what the notes for students say', () => {
  it.each(CLAIMS)('of sample %i: %s', (number, quote, from, to) => {
    const { phrase } = samples[number - 1]!;
    expect(phrase.meta.notes).toContain(quote);
    const played = heardDegrees(phrase, (onset) => {
      const { number: bar } = barAt(phrase, onset);
      return bar >= from && bar <= to;
    });
    const claimed = degreesIn(quote);
    expect(claimed.length).toBeGreaterThan(0);
    expect(` ${played.join(' ')} `).toContain(` ${claimed.join(' ')} `);
  });
});

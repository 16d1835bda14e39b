import { describe, expect, it } from 'vitest';
import { checkPlayable } from '../../../../src/core/neck/playable';
import { openMidi, STANDARD_GUITAR } from '../../../../src/core/phrase/instrument';
import type { Instrument } from '../../../../src/core/phrase/types';
import { shapesAsPhrase } from '../../../../src/core/shapes/as-phrase';
import { findShapes, keyOfShape } from '../../../../src/core/shapes/find';
import { followShape } from '../../../../src/core/shapes/follow';
import { type ChordShape, SHAPE_KINDS } from '../../../../src/core/shapes/types';
import { type Chord, parseChord } from '../../../../src/core/theory/chord';
import { degreeSemitones, formatDegree } from '../../../../src/core/theory/degree';
import { chromaOf, mod, pitchOfMidi } from '../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { bruteShapes, QUALITIES } from '../../../support/brute-shapes';
import { describeWithRef } from '../../../support/refs';

const open = (...midi: number[]) => midi.map((m) => pitchOfMidi(m, 'flat'));

const NECKS: readonly Instrument[] = [
  { ...STANDARD_GUITAR, frets: 12 },
  // Open G, and a capo.
  { ...STANDARD_GUITAR, tuning: open(62, 59, 55, 50, 43, 38), frets: 14, capo: 2 },
  // A ukulele: strings that do not descend.
  { ...STANDARD_GUITAR, tuning: open(69, 64, 60, 67), frets: 12, scaleLength: 380 },
];

function chord(symbol: string): Chord {
  const read = parseChord(symbol);
  if (!read.ok) throw new Error(symbol);
  return read.value;
}

const frets = (s: ChordShape) => s.tones.map((t) => `${t.string}/${t.fret}`).join(' ');
const degrees = (s: ChordShape) => s.tones.map((t) => formatDegree(t.degree)).join(' ');

describe('shapes of a chord', () => {
  it('are all there are, against trying everything: 12 qualities, 3 tunings', () => {
    let shapes = 0;
    QUALITIES.forEach((q, i) => {
      NECKS.forEach((neck, k) => {
        const root = (7 * i + 5 * k) % 12;
        const name = `${['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'][root]}${q.symbol}`;
        const strings = neck.tuning.map((_, s) => openMidi(neck, s + 1));
        for (const kind of SHAPE_KINDS) {
          const length = neck.scaleLength * 2 ** (-neck.capo / 12);
          const wanted = bruteShapes(strings, neck.frets - neck.capo, length, kind, { ...q, root });
          const found = findShapes(neck, chord(name), { kinds: [kind] });
          expect(found.map(keyOfShape).sort(), `${name} ${kind}`).toEqual(wanted);
          shapes += found.length;
        }
      });
    });
    console.log(`${shapes} shapes, none missing and none too many`);
    expect(shapes).toBeGreaterThan(4_000);
  });

  it('sound what they say, and can be played', () => {
    for (const symbol of ['Eb7', 'F#m7', 'Bb13', 'A7alt', 'Dsus4', 'G6/9', 'Cadd9', 'E5', 'C11']) {
      const c = chord(symbol);
      const found = findShapes(STANDARD_GUITAR, c);
      expect(found.length, symbol).toBeGreaterThan(10);
      for (const s of found) {
        for (const t of s.tones) {
          expect(t.midi).toBe(openMidi(STANDARD_GUITAR, t.string) + t.fret);
          expect(mod(t.midi, 12)).toBe(mod(chromaOf(c.root) + degreeSemitones(t.degree), 12));
        }
      }
      const some = found.filter((_, i) => i % 17 === 0).map((shape) => ({ chord: c, shape }));
      const setting = { id: 'x', now: '2026-01-01T00:00:00.000Z', title: '', slideIn: true };
      const p = shapesAsPhrase(some, {
        ...setting,
        instrument: STANDARD_GUITAR,
        key: { tonic: c.root, mode: 'major' },
        tempo: { bpm: 80, unit: 'quarter' },
      });
      expect(checkPhrase(p), symbol).toEqual([]);
      expect(checkPlayable(p), symbol).toEqual([]);
    }
  });

  it('are those that every teacher shows (common practice)', () => {
    const of = (symbol: string, kind: ChordShape['kind'], strings: readonly number[]) =>
      findShapes(STANDARD_GUITAR, chord(symbol), { kinds: [kind], strings });
    // C triads on the first three strings: E C G, G E C, C G E from above.
    const triads = of('C', 'triad', [1, 2, 3]).filter((s) => !s.name.includes('open'));
    expect(triads.map((s) => [frets(s), degrees(s), s.name])).toEqual(
      expect.arrayContaining([
        ['1/0 2/1 3/0', '3 R 5', 'second inversion'],
        ['1/3 2/5 3/5', '5 3 R', 'root position'],
        ['1/8 2/8 3/9', 'R 5 3', 'first inversion'],
      ]),
    );
    // Shells of G7 with the root on string 6 and of C7 on string 5.
    expect(of('G7', 'shell', [3, 4, 6]).map(frets)).toContain('3/4 4/3 6/3');
    expect(of('C7', 'shell', [3, 4, 5]).map(frets)).toContain('3/3 4/2 5/3');
    // Drop 2 of Cmaj7 on the first four strings, the usual four.
    const drop2 = of('Cmaj7', 'four-note', [1, 2, 3, 4]).filter((s) =>
      s.name.startsWith('drop 2,'),
    );
    expect(drop2.map(frets)).toEqual(
      expect.arrayContaining([
        '1/3 2/1 3/4 4/2',
        '1/7 2/5 3/5 4/5',
        '1/8 2/8 3/9 4/9',
        '1/12 2/12 3/12 4/10',
      ]),
    );
  });

  it('have the double stops of a blues with what lies around them', () => {
    // Over G7 at fret 3 on strings 2 and 3: D and B♭→B; worked as in rule M, ♭3 below the 3, 6 above the 5.
    const found = findShapes(STANDARD_GUITAR, chord('G7'), {
      kinds: ['double stop'],
      strings: [2, 3],
      near: 3,
    });
    const pair = found.find((s) => frets(s) === '2/3 3/4')!;
    expect(degrees(pair)).toBe('5 3');
    expect(pair.name).toBe('minor third');
    expect(pair.slideIn).toBe(true);
    expect(pair.neighbours.map((n) => `${formatDegree(n.degree)} ${n.string}/${n.fret}`)).toEqual([
      '6 2/5',
      'b7 2/6',
      'b3 3/3',
    ]);
  });

  it('lie in the area asked for, and follow the chords there', () => {
    const near = findShapes(STANDARD_GUITAR, chord('G7'), { near: 7 });
    expect(near.length).toBeGreaterThan(20);
    for (const s of near) for (const t of s.tones) expect(t.fret >= 6 && t.fret <= 11).toBe(true);
    // G on strings 2, 3, 4 at fret 3 and 4: the nearest C is at 5, the nearest D7's triad below.
    const g = findShapes(STANDARD_GUITAR, chord('G'), {
      kinds: ['triad'],
      strings: [2, 3, 4],
    }).find((s) => frets(s) === '2/3 3/4 4/5')!;
    expect(frets(followShape(STANDARD_GUITAR, g, chord('C'))!)).toBe('2/5 3/5 4/5');
    expect(followShape(STANDARD_GUITAR, g, chord('G5'))).toBeNull();
  });
});

interface Database {
  readonly chords: Readonly<
    Record<
      string,
      readonly {
        readonly key: string;
        readonly suffix: string;
        readonly positions: readonly {
          readonly frets: readonly number[];
          readonly baseFret: number;
          readonly midi: readonly number[];
        }[];
      }[]
    >
  >;
}

const SUFFIXES: Readonly<Record<string, string>> = {
  major: '',
  minor: 'm',
  dim: 'dim',
  aug: 'aug',
  sus4: 'sus4',
  sus2: 'sus2',
  '7': '7',
  maj7: 'maj7',
  m7: 'm7',
  m7b5: 'm7b5',
  dim7: 'dim7',
  '6': '6',
  m6: 'm6',
};

/** Semitones over the root, from the table above and for sus2 (common practice). */
function tonesOf(symbol: string): readonly number[] {
  return QUALITIES.find((q) => q.symbol === symbol)?.tones ?? [0, 2, 7];
}

describeWithRef('against chords-db (MIT)', 'data/chords-db/guitar.json', (text) => {
  it('the voicings of the same kinds are among ours', () => {
    const data = JSON.parse(text) as Database;
    let seen = 0;
    const missing: string[] = [];
    for (const list of Object.values(data.chords)) {
      for (const { key, suffix, positions } of list) {
        const symbol = SUFFIXES[suffix];
        if (symbol === undefined) continue;
        const c = chord(`${key}${symbol}`);
        const all = new Map<string, Set<string>>();
        for (const kind of ['triad', 'four-note'] as const)
          all.set(
            kind,
            new Set(
              findShapes({ ...STANDARD_GUITAR, frets: 24 }, c, { kinds: [kind] }).map(keyOfShape),
            ),
          );
        for (const p of positions) {
          const places = p.frets
            .map((f, i) => ({ string: 6 - i, fret: f <= 0 ? f : f + p.baseFret - 1 }))
            .filter((x) => x.fret >= 0)
            .reverse();
          const kind = kindOf(c, places, [...p.midi].reverse(), tonesOf(symbol));
          if (kind === null) continue;
          seen++;
          const name = places.map((x) => `${x.string}/${x.fret}`).join(' ');
          if (!all.get(kind)!.has(name)) missing.push(`${key}${symbol} ${name}`);
        }
      }
    }
    console.log(`${seen} voicings of chords-db are of our kinds`);
    expect(missing).toEqual([]);
    expect(seen).toBeGreaterThan(50);
  });
});

/** Triads and four-note voicings on strings next to each other, one left out at most, in one hand's frame. */
function kindOf(
  c: Chord,
  places: readonly { readonly string: number; readonly fret: number }[],
  midis: readonly number[],
  wanted: readonly number[],
): 'triad' | 'four-note' | null {
  const count = places.length;
  if (count < 3 || count > 4 || places.at(-1)!.string - places[0]!.string > count) return null;
  const pressed = places.map((p) => p.fret).filter((f) => f > 0);
  const hi = Math.max(0, ...pressed);
  if (hi - Math.min(hi, ...pressed) > 4 || (pressed.length < count && hi > 4)) return null;
  const over = midis.map((m) => mod(m - chromaOf(c.root), 12));
  const tones = [...new Set(over)].sort((x, y) => x - y);
  // Two entries sound other tones than their names say, and are none of their kind.
  if (tones.join() !== wanted.join()) return null;
  return count === 4 ? 'four-note' : wanted.length === 3 ? 'triad' : null;
}

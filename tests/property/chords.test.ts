import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  CHORD_KINDS,
  type Chord,
  type ChordDegree,
  chordFrom,
  chordOf,
  chordSign,
  chordTones,
  formatChord,
  parseChord,
  transposeChord,
} from '../../src/core/theory/chord';
import { TONE_VALUES } from '../../src/core/theory/chord-kinds';
import { chordOfTones, isToneAlter, tonesOf } from '../../src/core/theory/chord-model';
import { homeScale, rowAcceptsSource, tableRow } from '../../src/core/theory/chord-scale';
import { degree, degreeOf, pitchClassOf, sameDegree } from '../../src/core/theory/degree';
import { type Interval, transposeClass } from '../../src/core/theory/interval';
import {
  formatKey,
  type Key,
  type Mode,
  settleKey,
  signatureFifths,
} from '../../src/core/theory/key';
import {
  type Alter,
  chromaOf,
  LETTERS,
  type PitchClass,
  samePitchClass,
} from '../../src/core/theory/pitch';
import { formatRoman, parseChordOrRoman, parseRoman, romanSign } from '../../src/core/theory/roman';

const RUN = { seed: 20_251, numRuns: 500 } as const;

const ALTERS: readonly Alter[] = [-2, -1, 0, 1, 2];
const alter = fc.constantFrom(...ALTERS);
const pitchClass: fc.Arbitrary<PitchClass> = fc.record({
  letter: fc.constantFrom(...LETTERS),
  alter,
});
const bass = fc.option(pitchClass, { freq: 2 });

/** Any set of tones at all, the strangest included. */
const anyTones: fc.Arbitrary<Chord> = fc
  .record({
    root: pitchClass,
    tones: fc.uniqueArray(
      fc
        .record({ value: fc.constantFrom(...TONE_VALUES), alter })
        .filter((t) => isToneAlter(t.value, t.alter)),
      { maxLength: 8, selector: (t) => `${t.value} ${t.alter}` },
    ),
    bass,
  })
  .map((c) => chordOfTones(c.root, c.tones, c.bass));

/** A kind with degrees as a MusicXML file might say it. */
const said = fc.record({
  root: pitchClass,
  kind: fc.constantFrom(...CHORD_KINDS),
  degrees: fc.array(
    fc.record<ChordDegree>({
      type: fc.constantFrom('add', 'alter', 'subtract'),
      value: fc.integer({ min: 1, max: 13 }),
      alter: fc.constantFrom<Alter>(-1, 0, 1),
    }),
    { maxLength: 3 },
  ),
  bass,
});
const kindAndDegrees: fc.Arbitrary<Chord> = said.map((s) => {
  const whole = chordFrom(s.root, s.kind, s.degrees, s.bass);
  const bare = chordFrom(s.root, s.kind, [], s.bass);
  if (whole.ok) return whole.value;
  if (bare.ok) return bare.value;
  throw new Error('a kind alone is a chord');
});

const anyChord = fc.oneof(kindAndDegrees, anyTones);

const interval: fc.Arbitrary<Interval> = fc
  .record({ steps: fc.integer({ min: -7, max: 7 }), off: fc.integer({ min: -1, max: 1 }) })
  .map(({ steps, off }) => ({ steps, semitones: Math.round((steps * 12) / 7) + off }));

const KEYS: readonly Key[] = LETTERS.flatMap((letter) =>
  ALTERS.flatMap((a) =>
    (['major', 'minor', 'blues'] as const).map((mode: Mode) => ({
      tonic: { letter, alter: a },
      mode,
    })),
  ),
);

describe('chord symbols', () => {
  it('are read back as the same chord, whatever it holds', () => {
    fc.assert(
      fc.property(anyChord, (c) => {
        const text = formatChord(c);
        expect(parseChord(text)).toEqual({ ok: true, value: c });
        expect(chordOf(text)).toEqual(c);
        expect(text).toMatch(/^[\x20-\x7e]+$/);
      }),
      RUN,
    );
  });

  it('are read back from the page', () => {
    fc.assert(
      fc.property(anyChord, (c) => {
        expect(parseChord(chordSign(c))).toEqual({ ok: true, value: c });
      }),
      RUN,
    );
  });

  it('are written the same again, from any text that is read at all', () => {
    const piece = fc.constantFrom(
      ...['m', 'maj', '7', '9', '11', '13', '6', '5', 'b9', '#9', '#11', 'b13', 'b5', '#5', '('],
      ...[')', ',', ' ', 'sus4', 'sus2', 'sus', 'add9', 'add', 'no3', 'no5', '/E', '/', 'dim', '°'],
      ...['ø', '+', '-', 'Δ', 'alt', 'M7', 'maj7', '♭', '♯', 'o', 'aug', '^', 'j7', 'x', '2', '4'],
    );
    let read = 0;
    fc.assert(
      fc.property(pitchClass, fc.array(piece, { maxLength: 5 }), (root, pieces) => {
        const text = `${root.letter}${ALTERS.indexOf(root.alter) < 2 ? 'b' : ''}${pieces.join('')}`;
        const c = parseChord(text);
        if (!c.ok) {
          const column = c.problems[0]?.column ?? 0;
          expect(column).toBeGreaterThanOrEqual(1);
          expect(column).toBeLessThanOrEqual(text.length + 1);
          return;
        }
        read++;
        const canonical = formatChord(c.value);
        const again = parseChord(canonical);
        expect(again).toEqual(c);
        expect(again.ok && formatChord(again.value)).toBe(canonical);
      }),
      { ...RUN, numRuns: 1_500 },
    );
    expect(read).toBeGreaterThan(300);
  });

  it('never throw on any text', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 30 }), fc.string({ maxLength: 90 }), (a, b) => {
        for (const text of [a, `C${a}`, `V${a}`, b]) {
          parseChord(text);
          parseRoman(text, KEYS[7]!);
          parseChordOrRoman(text, KEYS[8]!);
        }
      }),
      RUN,
    );
  });
});

describe('kind and degrees', () => {
  it('are in normal form: the same tones are the same data', () => {
    fc.assert(
      fc.property(anyChord, (c) => {
        if (c.kind === '7alt') return;
        expect(chordOfTones(c.root, tonesOf(c), c.bass)).toEqual(c);
        expect(chordFrom(c.root, c.kind, c.degrees, c.bass)).toEqual({ ok: true, value: c });
        const shuffled = [...tonesOf(c)].reverse();
        expect(chordOfTones(c.root, [...shuffled, ...shuffled], c.bass)).toEqual(c);
      }),
      RUN,
    );
  });

  it('never say a degree twice, nor change nothing', () => {
    fc.assert(
      fc.property(anyChord, (c) => {
        const keys = c.degrees.map((d) => `${d.value} ${d.type} ${d.alter}`);
        expect(new Set(keys).size).toBe(keys.length);
        for (const d of c.degrees) {
          if (d.type === 'alter') expect(d.alter).not.toBe(0);
          if (d.type === 'subtract') expect(d.alter).toBe(0);
        }
      }),
      RUN,
    );
  });
});

describe('transposing', () => {
  it('commutes with taking the tones of a chord (P2)', () => {
    fc.assert(
      fc.property(anyChord, interval, (c, i) => {
        const moved = transposeChord(c, i);
        if (moved === null) return;
        expect(
          formatChord(moved)
            .slice(1)
            .replace(/^[b#]*/, '')
            .split('/')[0],
        ).toBe(
          formatChord(c)
            .slice(1)
            .replace(/^[b#]*/, '')
            .split('/')[0],
        );
        const named = c.bass === null || pitchClassOf(c.root, degreeOf(c.root, c.bass)) !== null;
        if (named) expect(chordTones(moved)).toEqual(chordTones(c));
        for (const d of chordTones(c)) {
          const note = pitchClassOf(c.root, d);
          const there = pitchClassOf(moved.root, d);
          const carried = note === null ? null : transposeClass(note, i);
          if (there !== null && carried !== null) expect(there).toEqual(carried);
        }
      }),
      RUN,
    );
  });

  it('there and back is the same chord (M13)', () => {
    fc.assert(
      fc.property(anyChord, interval, (c, i) => {
        const moved = transposeChord(c, i);
        if (moved === null) return;
        const back = { steps: -i.steps, semitones: -i.semitones };
        expect(transposeChord(moved, back)).toEqual(c);
      }),
      RUN,
    );
  });
});

describe('the quality table', () => {
  it('sends every accepted degree to itself over the same chord (M13)', () => {
    fc.assert(
      fc.property(anyChord, (c) => {
        for (const number of [1, 2, 3, 4, 5, 6, 7] as const) {
          for (const a of ALTERS) {
            const d = degree(number, a);
            const column = rowAcceptsSource(c, d);
            if (column === null) continue;
            const target = column === 1 ? degree(1) : (tableRow(c)[column] ?? d);
            expect(sameDegree(target, d)).toBe(true);
          }
        }
      }),
      RUN,
    );
  });

  it('has every tone of the chord at home, each once', () => {
    fc.assert(
      fc.property(anyChord, (c) => {
        const home = homeScale(c);
        for (const d of chordTones(c)) expect(home.some((h) => sameDegree(h, d))).toBe(true);
        home.forEach((d, i) => {
          expect(home.findIndex((h) => sameDegree(h, d))).toBe(i);
        });
      }),
      RUN,
    );
  });
});

describe('numerals', () => {
  it('are the inverse of reading them, for every kind on every root in every key (D6)', () => {
    let written = 0;
    const chords = CHORD_KINDS.flatMap((kind) =>
      LETTERS.flatMap((letter) =>
        ALTERS.map((a) => {
          const c = chordFrom({ letter, alter: a }, kind);
          if (!c.ok) throw new Error(kind);
          return c.value;
        }),
      ),
    );
    for (const key of KEYS.filter((k) => Math.abs(k.tonic.alter) < 2)) {
      for (const c of chords) {
        const text = formatRoman(c, key);
        const inReach = samePitchClass(
          pitchClassOf(key.tonic, degreeOf(key.tonic, c.root)) ?? key.tonic,
          c.root,
        );
        if (!inReach) {
          if (text !== formatChord(c)) throw new Error(`${text} in ${formatKey(key)}`);
          continue;
        }
        const back = parseRoman(text, key);
        if (!back.ok || formatChord(back.value) !== formatChord(c)) {
          throw new Error(`${text} in ${formatKey(key)} is not ${formatChord(c)}`);
        }
        written++;
      }
    }
    expect(written).toBe(48_438);
  });

  it('are so for chords of any tones and any bass, plain and typeset', () => {
    fc.assert(
      fc.property(anyChord, fc.constantFrom(...KEYS), (c, key) => {
        for (const text of [formatRoman(c, key), romanSign(c, key)]) {
          expect(parseChordOrRoman(text, key)).toEqual({ ok: true, value: c });
        }
      }),
      RUN,
    );
  });

  it('stay the same when chord and key move together (P2, D6)', () => {
    fc.assert(
      fc.property(anyChord, fc.constantFrom(...KEYS), interval, (c, key, i) => {
        const tonic = transposeClass(key.tonic, i);
        const moved = transposeChord(c, i);
        if (tonic === null || moved === null) return;
        const text = formatRoman(c, key);
        // A root out of reach is written as a chord, and a bass out of reach as a note.
        if (/^[A-G]|\/[A-G]/.test(text)) return;
        expect(formatRoman(moved, { ...key, tonic })).toBe(text);
      }),
      RUN,
    );
  });
});

describe('target keys (P5)', () => {
  it('have at most six accidentals and the sound of what was asked for', () => {
    fc.assert(
      fc.property(fc.constantFrom(...KEYS), fc.constantFrom(...KEYS), (k, source) => {
        const settled = settleKey(k, source);
        expect(settled.mode).toBe(k.mode);
        expect(chromaOf(settled.tonic)).toBe(chromaOf(k.tonic));
        expect(Math.abs(signatureFifths(settled))).toBeLessThanOrEqual(6);
        expect(settleKey(settled, source)).toEqual(settled);
      }),
      RUN,
    );
  });
});

import { Note, Key as TonalKey } from 'tonal';
import { describe, expect, it } from 'vitest';
import { degreeSemitones } from '../../../../src/core/theory/degree';
import { transposeClass } from '../../../../src/core/theory/interval';
import {
  fifthsOf,
  formatKey,
  type Key,
  keyInterval,
  keyScale,
  pitchClassAtFifths,
  settleKey,
  signatureFifths,
  transposeKey,
  twelveKeys,
} from '../../../../src/core/theory/key';
import { chromaOf, formatPitchClass, LETTERS, mod } from '../../../../src/core/theory/pitch';
import { describeWithRef, readTsv } from '../../../support/refs';
import { degreesText, key, pc } from '../../../support/theory';

const ALTERS = [-2, -1, 0, 1, 2] as const;
const TONICS = LETTERS.flatMap((letter) => ALTERS.map((alter) => ({ letter, alter })));
const MODES = ['major', 'minor', 'blues'] as const;
const names = (keys: readonly Key[]) => keys.map(formatKey).join(' ');

describe('key signatures', () => {
  it('agree with tonal for the thirty keys of up to seven accidentals', () => {
    let checked = 0;
    for (const tonic of TONICS) {
      const name = formatPitchClass(tonic);
      const major = signatureFifths({ tonic, mode: 'major' });
      if (Math.abs(major) <= 7) {
        expect(major, name).toBe(TonalKey.majorKey(name).alteration);
        checked++;
      }
      const minor = signatureFifths({ tonic, mode: 'minor' });
      if (Math.abs(minor) <= 7) {
        expect(minor, `${name}m`).toBe(TonalKey.minorKey(name).alteration);
        checked++;
      }
      expect(signatureFifths({ tonic, mode: 'blues' })).toBe(major);
    }
    expect(checked).toBe(30);
  });

  it('lie on the line of fifths, forwards and back', () => {
    for (const p of TONICS) {
      expect(pitchClassAtFifths(fifthsOf(p))).toEqual(p);
      expect(mod(7 * fifthsOf(p), 12)).toBe(chromaOf(p));
      // tonal's coordinate 0 of a note class is its place on the line of fifths.
      expect(fifthsOf(p)).toBe(Note.get(formatPitchClass(p)).coord?.[0]);
    }
    expect(pitchClassAtFifths(20)).toBeNull();
    expect(pitchClassAtFifths(-16)).toBeNull();
  });

  it('have the major or the natural minor scale', () => {
    expect(degreesText(keyScale('major'))).toBe('R 2 3 4 5 6 7');
    expect(degreesText(keyScale('blues'))).toBe('R 2 3 4 5 6 7');
    expect(degreesText(keyScale('minor'))).toBe('R 2 b3 4 5 b6 b7');
    expect(keyScale('minor').map(degreeSemitones)).toEqual([0, 2, 3, 5, 7, 8, 10]);
  });
});

describe('key names', () => {
  it.each([
    ['C', 'C'],
    ['Am', 'Am'],
    ['a minor', 'Am'],
    ['A Minor', 'Am'],
    ['F#min', 'F#m'],
    ['E♭ major', 'Eb'],
    ['Eb Major', 'Eb'],
    ['B♭ Blues', 'Bb blues'],
    ['  G blues ', 'G blues'],
    ['C maj', 'C'],
  ])('%j is %s', (text, name) => {
    expect(formatKey(key(text))).toBe(name);
  });

  it.each(['', 'H', 'CM', 'C dorian', 'blues', 'C#b', 'C minor major'])('%j is none', (text) => {
    expect(() => key(text)).toThrow();
  });

  it('are read back as written', () => {
    for (const tonic of TONICS) {
      for (const mode of MODES) expect(key(formatKey({ tonic, mode }))).toEqual({ tonic, mode });
    }
  });
});

describe('the name of a target key (P5)', () => {
  it.each([
    // more than six accidentals: the enharmonic key
    ['C#', 'C', 'Db'],
    ['G#', 'E', 'Ab'],
    ['Cb', 'Gb', 'B'],
    ['D#', 'Eb', 'Eb'],
    ['A#m', 'Em', 'Bbm'],
    ['Abm', 'Ebm', 'G#m'],
    ['Fb blues', 'C blues', 'E blues'],
    // six against six stays on the source's side
    ['F#', 'G', 'F#'],
    ['Gb', 'G', 'F#'],
    ['F#', 'F', 'Gb'],
    ['Gb', 'Db', 'Gb'],
    ['D#m', 'Em', 'D#m'],
    ['Ebm', 'Em', 'D#m'],
    ['D#m', 'Dm', 'Ebm'],
    // sharp from C and Am
    ['Gb', 'C', 'F#'],
    ['Ebm', 'Am', 'D#m'],
    ['Gb blues', 'C blues', 'F# blues'],
    // up to five stays as it is, whichever side the source is on
    ['Db', 'E', 'Db'],
    ['B', 'Ab', 'B'],
    ['Bbm', 'C#m', 'Bbm'],
    // the far ends of the line of fifths
    ['B##', 'C', 'Db'],
    ['Fbbm', 'C', 'D#m'],
    ['Fbbm', 'F', 'Ebm'],
  ])('%s from %s is %s', (target, source, name) => {
    expect(formatKey(settleKey(key(target), key(source)))).toBe(name);
  });

  it('sounds the same, has at most six accidentals and is settled at once', () => {
    for (const tonic of TONICS) {
      for (const mode of MODES) {
        for (const source of ['C', 'F', 'G', 'Bbm', 'F#m']) {
          const k = settleKey({ tonic, mode }, key(source));
          expect(chromaOf(k.tonic)).toBe(chromaOf(tonic));
          expect(Math.abs(signatureFifths(k))).toBeLessThanOrEqual(6);
          expect(settleKey(k, key(source))).toEqual(k);
        }
      }
    }
  });
});

describe('the twelve keys', () => {
  it.each([
    ['C', 'C Db D Eb E F F# G Ab A Bb B'],
    ['F', 'F Gb G Ab A Bb B C Db D Eb E'],
    ['Am', 'Am Bbm Bm Cm C#m Dm D#m Em Fm F#m Gm G#m'],
    ['Gm', 'Gm G#m Am Bbm Bm Cm C#m Dm Ebm Em Fm F#m'],
    ['F#', 'F# G Ab A Bb B C Db D Eb E F'],
    // A key that was typed by name keeps its name; its neighbours are settled.
    ['C#', 'C# D Eb E F F# G Ab A Bb B C'],
    ['Bb blues', 'Bb B C Db D Eb E F Gb G Ab A'.replace(/ /g, ' blues ').concat(' blues')],
  ])('from %s', (source, expected) => {
    expect(names(twelveKeys(key(source)))).toBe(expected);
  });

  it('are one for each semitone from every source', () => {
    for (const tonic of TONICS) {
      for (const mode of MODES) {
        const keys = twelveKeys({ tonic, mode });
        expect(keys.map((k) => mod(chromaOf(k.tonic) - chromaOf(tonic), 12))).toEqual([
          0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11,
        ]);
      }
    }
  });
});

describe('one interval for the whole phrase (P5)', () => {
  it('leads from tonic to tonic', () => {
    expect(keyInterval(key('C'), key('F'))).toEqual({ steps: 3, semitones: 5 });
    expect(keyInterval(key('Am'), key('Ebm'))).toEqual({ steps: 4, semitones: 6 });
    expect(keyInterval(key('B'), key('Ab'))).toEqual({ steps: 6, semitones: 9 });
    for (const k of twelveKeys(key('E'))) {
      expect(transposeClass(pc('E'), keyInterval(key('E'), k))).toEqual(k.tonic);
    }
  });

  it('moves a key and settles its name', () => {
    expect(formatKey(transposeKey(key('E'), { steps: 2, semitones: 4 })!)).toBe('Ab');
    expect(formatKey(transposeKey(key('Am'), { steps: 4, semitones: 6 })!)).toBe('D#m');
    expect(transposeKey(key('B#'), { steps: 0, semitones: 2 })).toBeNull();
  });
});

describeWithRef('key signature table (tonal 6.4.3)', 'handbook/key-signatures.tsv', (text) => {
  it('agrees in tonics and number of accidentals', () => {
    const rows = readTsv(text);
    expect(rows).toHaveLength(15);
    for (const row of rows) {
      const fifths = Number(row.fifths);
      expect(signatureFifths(key(row.major!))).toBe(fifths);
      expect(signatureFifths(key(`${row.minor}m`))).toBe(fifths);
      const accidentals = (row.accidentals ?? '').split(' ').filter((s) => s !== '');
      expect(accidentals).toHaveLength(Math.abs(fifths));
      const scale = keyScale('major').map((d) =>
        formatPitchClass(
          transposeClass(pc(row.major!), { steps: d.number - 1, semitones: degreeSemitones(d) })!,
        ),
      );
      expect(scale.filter((n) => n.length > 1).sort()).toEqual([...accidentals].sort());
    }
  });
});

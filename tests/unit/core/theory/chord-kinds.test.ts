import { Chord as TonalChord } from 'tonal';
import { describe, expect, it } from 'vitest';
import { CHORD_KINDS, type ChordKind, isChordKind } from '../../../../src/core/theory/chord';
import { KIND_TONES } from '../../../../src/core/theory/chord-kinds';
import { describeWithRef, readTsv } from '../../../support/refs';
import { degreesOfIntervals } from '../../../support/theory';

const SEMITONES: Readonly<Record<number, number>> = {
  1: 0,
  2: 2,
  3: 4,
  4: 5,
  5: 7,
  6: 9,
  7: 11,
  9: 14,
  11: 17,
  13: 21,
};

const semitones = (kind: ChordKind) =>
  KIND_TONES[kind].map((t) => SEMITONES[t.value]! + t.alter).join(' ');

/** The kinds that tonal knows, under tonal's own symbol. */
const TONAL: Readonly<Partial<Record<ChordKind, string>>> = {
  major: 'M',
  minor: 'm',
  augmented: 'aug',
  diminished: 'dim',
  dominant: '7',
  'major-seventh': 'maj7',
  'minor-seventh': 'm7',
  'diminished-seventh': 'dim7',
  'augmented-seventh': '7#5',
  'half-diminished': 'm7b5',
  'major-minor': 'mMaj7',
  'major-sixth': '6',
  'minor-sixth': 'm6',
  'dominant-ninth': '9',
  'major-ninth': 'maj9',
  'minor-ninth': 'm9',
  'dominant-11th': '11',
  'minor-11th': 'm11',
  'dominant-13th': '13',
  'major-13th': 'maj13',
  'minor-13th': 'm13',
  'suspended-second': 'sus2',
  'suspended-fourth': 'sus4',
  power: '5',
};

/** What tonal 6.4.3 leaves out against the W3C wording ("11th: dominant-ninth, perfect 11th"). */
const TONAL_LACKS: Readonly<Partial<Record<ChordKind, string>>> = {
  'dominant-11th': '3M',
  'dominant-13th': '11P',
  'major-13th': '11P',
  'minor-13th': '11P',
};

describe('the tones of the kinds (W3C MusicXML 4.0, kind-value)', () => {
  it('begin with the root and ascend, each number once', () => {
    for (const kind of CHORD_KINDS) {
      const tones = KIND_TONES[kind];
      expect(tones[0], kind).toEqual({ value: 1, alter: 0 });
      const values = tones.map((t) => t.value);
      expect([...values].sort((a, b) => a - b)).toEqual(values);
      if (kind !== '7alt') expect(new Set(values).size).toBe(values.length);
    }
  });

  it('are different for every kind', () => {
    expect(new Set(CHORD_KINDS.map(semitones)).size).toBe(CHORD_KINDS.length);
    expect(CHORD_KINDS).toHaveLength(26);
  });

  it.each(Object.entries(TONAL))('%s equals tonal %s, but for the listed tones', (name, symbol) => {
    if (!isChordKind(name)) throw new Error(name);
    const lacks = TONAL_LACKS[name];
    const chord = TonalChord.get(`C${symbol}`);
    expect(chord.empty).toBe(false);
    const theirs = [...chord.intervals];
    if (lacks !== undefined) {
      expect(theirs).not.toContain(lacks);
      theirs.push(lacks);
    }
    const ours = KIND_TONES[name].map((t) => {
      const perfect = t.value === 1 || t.value === 4 || t.value === 5 || t.value === 11;
      const quality =
        t.alter === 0
          ? perfect
            ? 'P'
            : 'M'
          : t.alter > 0
            ? 'A'
            : perfect || t.alter < -1
              ? 'd'
              : 'm';
      return `${t.value}${quality}`;
    });
    expect([...ours].sort()).toEqual(theirs.sort());
    expect(degreesOfIntervals(ours)).toBe(degreesOfIntervals(theirs));
  });

  it('hold the one kind that tonal does not read, and our own', () => {
    expect(TonalChord.get('Cmaj11').empty).toBe(true);
    const unknown = CHORD_KINDS.filter((k) => TONAL[k] === undefined);
    expect(unknown).toEqual(['major-11th', '7alt']);
    expect(semitones('major-11th')).toBe('0 4 7 11 14 17');
    // tonal takes 7alt for one of its voicings, 7#5#9; the altered scale has both of each.
    expect(TonalChord.get('C7alt').intervals).toEqual(['1P', '3M', '5A', '7m', '9A']);
    expect(semitones('7alt')).toBe('0 4 6 10 13 15 20');
  });

  it('are found by name', () => {
    expect(isChordKind('half-diminished')).toBe(true);
    expect(isChordKind('Neapolitan')).toBe(false);
    expect(isChordKind('toString')).toBe(false);
  });
});

/** Kinds of MusicXML that are no chord symbols of this repertoire. */
const LEFT_OUT = ['Neapolitan', 'Italian', 'French', 'German', 'pedal', 'Tristan', 'other', 'none'];

describeWithRef(
  'kinds table (W3C kind-value wording; degrees of music21 harmony.CHORD_TYPES)',
  'handbook/musicxml-kinds.tsv',
  (text) => {
    const rows = readTsv(text);

    it('names every kind we have and no other but the listed', () => {
      expect(rows.map((r) => r.kind).sort()).toEqual(
        [...CHORD_KINDS.filter((k) => k !== '7alt'), ...LEFT_OUT].sort(),
      );
    });

    it('agrees with music21 in degrees and semitones', () => {
      for (const row of rows) {
        const kind = row.kind!;
        if (!isChordKind(kind)) continue;
        const ours = KIND_TONES[kind].map((t) => {
          const sign = t.alter < 0 ? '-'.repeat(-t.alter) : '#'.repeat(t.alter);
          return `${sign}${t.value}`;
        });
        expect(ours.join(','), kind).toBe(row.degrees_music21);
        expect(semitones(kind), kind).toBe(row.semitones);
      }
    });
  },
);

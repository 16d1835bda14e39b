import { expect, it } from 'vitest';
import {
  type Chord,
  chordTones,
  hasMajorThird,
  parseChord,
} from '../../../../src/core/theory/chord';
import { degreeOf, degreeSemitones } from '../../../../src/core/theory/degree';
import { chromaOf, mod, type PitchClass, pitchOfMidi } from '../../../../src/core/theory/pitch';
import { describeWithRef, readTsv } from '../../../support/refs';
import { chord } from '../../../support/theory';

/** The shorthand of the counted solos in our spelling: `79b` is 7b9, `7913b` is 9b13. */
function symbolOf(text: string): string {
  return text
    .replace(/7913b$/, '9b13')
    .replace(/7911#$/, '9#11')
    .replace(/79b$/, '7b9')
    .replace(/79#$/, '7#9');
}

/**
 * The data's code of a chromatic degree: its number, or a letter where it is altered against the
 * chord (`B` ♯9 and `>` major third tell the thirds apart, `L` is a major seventh over a minor one).
 */
function codeOf(c: Chord, semitones: number): string {
  const minorSeventh = chordTones(c).some((d) => d.number === 7 && d.alter === -1);
  switch (semitones) {
    case 3:
      return hasMajorThird(c) ? 'B' : '3';
    case 4:
      return hasMajorThird(c) ? '3' : '>';
    case 11:
      return minorSeventh ? 'L' : '7';
    default:
      return ['1', '-', '2', '', '', '4', 'T', '5', '%', '6', '7'][semitones] ?? '';
  }
}

describeWithRef(
  'chord by pitch class, counted from real solos (parkR, MIT)',
  'data/parkr/chord_pc_codes.tsv',
  (text) => {
    const rows = readTsv(text);

    it('has 637 rows, nine of them without a chord', () => {
      expect(rows).toHaveLength(637);
      const none = rows.filter((r) => !parseChord(symbolOf(r.chord!)).ok);
      expect(none).toHaveLength(9);
      expect(new Set(none.map((r) => r.chord))).toEqual(new Set(['NC']));
    });

    it('agrees in chromatic degree in the other 628, whichever way the note is spelled', () => {
      let agreed = 0;
      for (const row of rows) {
        if (row.chord === 'NC') continue;
        const { root } = chord(symbolOf(row.chord!));
        for (const side of ['sharp', 'flat'] as const) {
          const note: PitchClass = pitchOfMidi(60 + Number(row.pitch_class), side);
          const d = degreeOf(root, note);
          expect(mod(degreeSemitones(d), 12), JSON.stringify(row)).toBe(Number(row.cpc));
        }
        agreed++;
      }
      expect(agreed).toBe(628);
    });

    it('has the code that the thirds and sevenths of our reading give', () => {
      for (const row of rows) {
        if (row.chord === 'NC') continue;
        const c = chord(symbolOf(row.chord!));
        expect(codeOf(c, Number(row.cpc)), JSON.stringify(row)).toBe(row.cdpcx);
      }
    });
  },
);

/**
 * Voicings of chords-db in which a note is not of the chord they are filed under, counted by chord:
 * slips of the data (a B♭6 a fret too high, a C♯ augmented with a fourth …).
 */
const SLIPS: Readonly<Record<string, number>> = {
  Abmaj7b5: 1,
  Adim: 1,
  Baug: 1,
  Bb6: 1,
  Bbm7: 1,
  'C#11': 4,
  'C#7b5': 1,
  'C#9#11': 1,
  'C#aug': 2,
  'D7#9': 1,
  Dmaj9: 1,
  Dmmaj11: 1,
  Dmmaj7: 1,
  Eb11: 1,
  Eb7b5: 1,
  Ebm69: 1,
  Ebmaj7b5: 1,
  Emadd9: 4,
  'F#alt': 1,
  Gadd9: 1,
  Gm11: 1,
};

interface Voicing {
  readonly key: string;
  readonly suffix: string;
  readonly positions: readonly { readonly midi: readonly number[] }[];
}

describeWithRef('guitar voicings (chords-db, MIT)', 'data/chords-db/guitar.json', (text) => {
  it('hold no note that our reading of their symbol does not, but for the listed slips', () => {
    const data = JSON.parse(text) as { readonly chords: Readonly<Record<string, Voicing[]>> };
    const slips: Record<string, number> = {};
    let fine = 0;
    for (const v of Object.values(data.chords).flat()) {
      const suffix = v.suffix === 'major' ? '' : v.suffix === 'minor' ? 'm' : v.suffix;
      const c = chord(v.key + suffix);
      const root = chromaOf(c.root);
      const tones = new Set(chordTones(c).map((d) => mod(root + degreeSemitones(d), 12)));
      for (const p of v.positions) {
        if (p.midi.every((m) => tones.has(mod(m, 12)))) fine++;
        else slips[v.key + suffix] = (slips[v.key + suffix] ?? 0) + 1;
      }
    }
    expect(slips).toEqual(SLIPS);
    expect(fine).toBe(3255);
  });
});

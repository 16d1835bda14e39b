import { Note, Interval as TonalInterval } from 'tonal';
import { describe, expect, it } from 'vitest';
import {
  addIntervals,
  classInterval,
  formatInterval,
  type Interval,
  intervalBetween,
  invertInterval,
  OCTAVE,
  octaves,
  transpose,
  transposeClass,
  UNISON,
} from '../../../../src/core/theory/interval';
import {
  formatPitch,
  formatPitchClass,
  LETTERS,
  type Pitch,
  type PitchClass,
  parsePitch,
} from '../../../../src/core/theory/pitch';
import { describeWithRef, readTsv } from '../../../support/refs';
import { pc } from '../../../support/theory';

function pitch(text: string): Pitch {
  const read = parsePitch(text);
  if (!read.ok) throw new Error(text);
  return read.value;
}

const P4: Interval = { steps: 3, semitones: 5 };
const ALTERS = [-2, -1, 0, 1, 2] as const;
const CLASSES: readonly PitchClass[] = LETTERS.flatMap((letter) =>
  ALTERS.map((alter) => ({ letter, alter })),
);
const NAMES = [
  ...['1P', '1A', '2m', '2M', '2A', '3d', '3m', '3M', '4d', '4P', '4A', '5d', '5P', '5A'],
  ...['6m', '6M', '6A', '7d', '7m', '7M', '8P', '9m', '10M', '11A', '13M', '-2m', '-3M', '-4A'],
  ...['-5d', '-7d', '-8P', '-9M'],
];

function fromTonal(name: string): Interval {
  const i = TonalInterval.get(name);
  if (i.empty) throw new Error(name);
  return { steps: i.dir * (Math.abs(i.num) - 1), semitones: i.semitones };
}

describe('interval (P2)', () => {
  it('moves C# up a perfect fourth to F#, never to Gb', () => {
    expect(formatPitchClass(transposeClass(pc('C#'), P4)!)).toBe('F#');
    expect(formatPitch(transpose(pitch('C#4'), P4)!)).toBe('F#4');
    expect(formatPitch(transpose(pitch('B3'), P4)!)).toBe('E4');
  });

  it('agrees with tonal wherever the result needs at most a double accidental', () => {
    let named = 0;
    let beyond = 0;
    for (const from of CLASSES) {
      for (const name of NAMES) {
        const p: Pitch = { ...from, octave: 4 };
        const expected = Note.transpose(formatPitch(p), name);
        const got = transpose(p, fromTonal(name));
        if (/[A-G](?:#{3,}|b{3,})/.test(expected)) {
          expect(got, `${formatPitch(p)} ${name}`).toBeNull();
          beyond++;
        } else {
          expect(got === null ? null : formatPitch(got), `${formatPitch(p)} ${name}`).toBe(
            expected,
          );
          named++;
        }
      }
    }
    expect(named).toBeGreaterThan(900);
    expect(beyond).toBeGreaterThan(50);
  });

  it('agrees with tonal on the interval between two pitches', () => {
    let compared = 0;
    for (const a of CLASSES) {
      for (const b of CLASSES) {
        const from: Pitch = { ...a, octave: 3 };
        const to: Pitch = { ...b, octave: 4 };
        const i = intervalBetween(from, to);
        expect(transpose(from, i)).toEqual(to);
        // tonal has no name beyond four alterations (F𝄫 to B𝄪), and loses an octave where a step
        // upwards sounds lower (B to C𝄫).
        if (i.semitones < 0 || /[Ad]{5}/.test(formatInterval(i))) continue;
        compared++;
        const name = TonalInterval.distance(formatPitch(from), formatPitch(to));
        expect(i.semitones, name).toBe(TonalInterval.semitones(name));
        expect(Math.abs(i.steps) + 1, name).toBe(Math.abs(TonalInterval.num(name)));
      }
    }
    expect(compared).toBe(35 * 35 - 10);
  });

  it('measures classes upwards in 0 to 6 steps', () => {
    expect(classInterval(pc('G'), pc('F'))).toEqual({ steps: 6, semitones: 10 });
    expect(classInterval(pc('B'), pc('C'))).toEqual({ steps: 1, semitones: 1 });
    expect(classInterval(pc('C'), pc('Cb'))).toEqual({ steps: 0, semitones: -1 });
    expect(classInterval(pc('B#'), pc('Cb'))).toEqual({ steps: 1, semitones: -1 });
    for (const a of CLASSES) {
      for (const b of CLASSES) expect(transposeClass(a, classInterval(a, b))).toEqual(b);
    }
  });

  it('adds, inverts and counts octaves', () => {
    expect(addIntervals(P4, invertInterval(P4))).toEqual(UNISON);
    expect(octaves(1)).toEqual(OCTAVE);
    expect(octaves(-2)).toEqual({ steps: -14, semitones: -24 });
  });

  it('names every interval as tonal does, quality first', () => {
    for (const name of NAMES) {
      const [, sign, number, quality] = /^(-?)(\d+)(.+)$/.exec(name)!;
      expect(formatInterval(fromTonal(name))).toBe(`${sign}${quality}${number}`);
    }
    expect(formatInterval({ steps: 0, semitones: -1 })).toBe('-A1');
    expect(formatInterval({ steps: 4, semitones: 5 })).toBe('dd5');
    expect(formatInterval({ steps: 2, semitones: 6 })).toBe('AA3');
  });
});

describeWithRef('intervals table (tonal 6.4.3)', 'handbook/intervals.tsv', (text) => {
  it('agrees in number, size and quality', () => {
    const rows = readTsv(text);
    expect(rows.length).toBe(30);
    for (const row of rows) {
      const i: Interval = { steps: Number(row.number) - 1, semitones: Number(row.semitones) };
      expect(formatInterval(i)).toBe(`${row.quality}${row.number}`);
    }
  });
});

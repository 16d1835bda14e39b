import { describe, expect, it } from 'vitest';
import { startEditing } from '../../../../../src/core/edit/state';
import type { Phrase } from '../../../../../src/core/phrase/types';
import { formatPitch } from '../../../../../src/core/theory/pitch';
import { engrave } from '../../../../../src/engrave/engraver';
import {
  cellAt,
  lineOf,
  momentAt,
  pitchAt,
  rowOf,
  xOf,
} from '../../../../../src/ui/frame/writing/place';
import { build } from '../../../../support/build';

const EIGHTH = 5_040;
const BAR = 40_320;

const linesOf = (p: Phrase, width = 900) => engrave(p, { width, size: 8 }).systems;

// Two quarters, a silent half bar, then a bar of a half and a held half.
const phrase = build('q 3/5 2/8 h - | h 1/5 3/7', { key: 'G' });

describe('where a moment is on the page', () => {
  const [line] = linesOf(phrase);

  it('is where its notes are', () => {
    for (const c of line!.hits.columns) expect(xOf(line!, c.onset)).toBe(c.x);
  });

  it('lies by the time between the notes, and goes up with it', () => {
    const xs = Array.from({ length: 17 }, (_, i) => xOf(line!, i * EIGHTH));
    for (const [i, x] of xs.entries()) if (i > 0) expect(x).toBeGreaterThan(xs[i - 1]!);
    const [first, second] = [xOf(line!, 0), xOf(line!, 2 * EIGHTH)];
    expect(xOf(line!, EIGHTH)).toBeCloseTo((first + second) / 2, 6);
  });

  it('is behind the last bar line after the end, and hardly in the margin', () => {
    const end = xOf(line!, phrase.length);
    expect(end).toBeGreaterThan(line!.hits.bars.at(-1)!.x1);
    for (const width of [200, 260, 330, 500]) {
      const narrow = linesOf(phrase, width).at(-1)!;
      expect(xOf(narrow, phrase.length)).toBeLessThan(narrow.width + 8);
    }
  });

  it('is in the line that holds the bar; the end is in the last', () => {
    const lines = linesOf(phrase, 230);
    expect(lines.length).toBe(2);
    expect(lineOf(lines, 0)).toBe(0);
    expect(lineOf(lines, BAR - 1)).toBe(0);
    expect(lineOf(lines, BAR)).toBe(1);
    expect(lineOf(lines, 2 * BAR)).toBe(1);
  });
});

describe('what is pointed at', () => {
  const [line] = linesOf(phrase);
  const s = startEditing(phrase);
  const tab = rowOf(line!.hits, 'tab')!;

  it('is the cell of every moment and string that a cursor can stand in', () => {
    for (const onset of [0, EIGHTH, 2 * EIGHTH, 5 * EIGHTH, 7 * EIGHTH, BAR, BAR + 3 * EIGHTH]) {
      tab.strings.forEach((y, i) => {
        const at = { x: xOf(line!, onset) + 1, y: y + 2 };
        expect(cellAt(s, line!, at)).toEqual({ onset, string: i + 1 });
      });
    }
    expect(cellAt(s, line!, { x: 100, y: tab.y0 - 40 })).toBeNull();
  });

  it('is the end after the last bar line', () => {
    expect(momentAt(s, line!, line!.width)).toBe(phrase.length);
  });

  it('steps by the pen, and by the parts of a tuplet', () => {
    const triplet = build('e3 3/5 3/7 2/5 q 2/8 h -');
    const [drawn] = linesOf(triplet);
    const state = startEditing(triplet);
    const third = 3_360;
    expect(momentAt(state, drawn!, xOf(drawn!, third))).toBe(third);
    expect(momentAt(state, drawn!, xOf(drawn!, 2 * third))).toBe(2 * third);
    const sixteenths = { ...s, pen: { ...s.pen, value: '16th' as const } };
    expect(momentAt(sixteenths, line!, xOf(line!, 5 * EIGHTH + 2_520))).toBe(5 * EIGHTH + 2_520);
  });

  it('is a pitch of the key on the staff, sounding an octave lower than it is written (P3)', () => {
    const staff = rowOf(line!.hits, 'staff')!;
    const space = (staff.y1 - staff.y0) / 4;
    const at = (steps: number) => {
      const pitch = pitchAt(phrase, line!, staff.y0 + (steps * space) / 2);
      return pitch === null ? null : formatPitch(pitch);
    };
    // The top line is F, with the sharp of G major; the treble clef of a guitar sounds an octave lower.
    expect(at(0)).toBe('F#4');
    expect(at(1)).toBe('E4');
    expect(at(8)).toBe('E3');
    expect(at(11)).toBe('B2');
    expect(at(13)).toBe('G2');
    expect(at(-3)).toBe('B4');
    expect(at(-9)).toBeNull();
  });
});

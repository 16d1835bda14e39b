import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { arbPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';
import { chosen, cursorOn, ordered, refusal, said } from '../../../support/technique';

const c7 = (line: string) => build(line, { chords: 'C7' });
const PROPOSE = 'hand.fingers-propose';

const fingers = (p: Phrase) =>
  notesOf(p).map(({ note }) => (note.kind === 'dead' ? 'x' : (note.finger ?? '-')));

describe('fingers proposed for what is chosen', () => {
  it('are one a fret from the hand up (common practice)', () => {
    // The box at fret 5: index finger at 5, little finger at 8.
    const p = c7('e 3/5 3/7 2/5 2/8 2/6 3/8 2/7 3/5');
    const s = ordered(chosen(p), PROPOSE);
    expect(fingers(s.phrase)).toEqual([1, 3, 1, 4, 2, 4, 3, 1]);
    expect(said(chosen(p), PROPOSE)).toBe('fingers proposed for 8 notes');
    expect(refusal(s, PROPOSE)).toBe('no finger is left to be named');
  });

  it('are those of a chord that everybody knows: C, open position', () => {
    // 3 on string 5 fret 3, 2 on string 4 fret 2, 1 on string 2 fret 1.
    const s = ordered(chosen(build('w 5/3+4/2+3/0+2/1+1/0', { chords: 'C' })), PROPOSE);
    expect(fingers(s.phrase)).toEqual(['-', 1, '-', 2, 3]);
  });

  it('go to the chosen notes alone, and leave what is named', () => {
    const p = c7('e 3/5 3/7(f:4) 2/5 2/8 h -');
    expect(fingers(ordered(chosen(p, 1, 2), PROPOSE).phrase)).toEqual(['-', 4, 1, '-']);
    // The index finger at fret 8 leaves no finger of a resting hand for fret 7.
    const one = cursorOn(c7('w 3/7+2/8(f:1)'), 3);
    expect(refusal(one, PROPOSE)).toBe('what is struck with it has a finger named otherwise');
    const both = chosen(c7('h 3/7+2/8(f:1) 3/5'));
    expect(fingers(ordered(both, PROPOSE).phrase)).toEqual([1, '-', 1]);
    expect(said(both, PROPOSE)).toBe(
      'a finger proposed; left alone where a finger is named otherwise',
    );
    expect(said(cursorOn(c7('w 3/5'), 3), PROPOSE)).toBe('a finger proposed');
    expect(said(chosen(c7('h 3/5(f:1) 3/7')), PROPOSE)).toBe('a finger proposed');
  });

  it('are none for open strings, taps and natural harmonics', () => {
    const p = c7('q 3/0 3/12(tap) 3/12(nat:12) 3/5');
    expect(fingers(ordered(chosen(p), PROPOSE).phrase)).toEqual(['-', '-', '-', 1]);
    expect(refusal(cursorOn(p, 3), PROPOSE)).toBe('no finger is left to be named');
  });

  it('are refused where no hand reaches', () => {
    expect(refusal(chosen(c7('w 3/1+2/15')), PROPOSE)).toBe('no hand can hold it where it lies');
  });

  it('change nothing but fingers, in any phrase, and no finger that is named', () => {
    let named = 0;
    fc.assert(
      fc.property(arbPhrase(), (p) => {
        if (p.voices[0].events.length === 0) return;
        const s = chosen(p);
        if (refusal(s, PROPOSE) !== null) return;
        named++;
        const after = ordered(s, PROPOSE).phrase;
        const before = new Map(notesOf(p).map(({ note }) => [note.id, note]));
        for (const { note } of notesOf(after)) {
          const old = before.get(note.id)!;
          if (note.kind === 'dead' || old.kind === 'dead') continue;
          if (old.finger !== undefined) expect(note).toEqual(old);
          const { finger, ...rest } = note;
          const { finger: _, ...oldRest } = old;
          expect(rest).toEqual(oldRest);
          if (finger !== undefined) expect(note.fret).toBeGreaterThan(0);
        }
      }),
      { numRuns: 60, seed: 15 },
    );
    expect(named).toBeGreaterThan(20);
  });
});

import { describe, expect, it } from 'vitest';
import { go } from '../../../../src/core/edit/commands/go';
import { runCommand } from '../../../../src/core/edit/run';
import { startEditing } from '../../../../src/core/edit/state';
import { build } from '../../../support/build';
import { emptyPhrase, press, typeKeys } from '../../../support/edit';
import { cursorOn, ordered, refusal, refusalOfKey } from '../../../support/technique';

const start = startEditing(emptyPhrase());

describe('what is there already', () => {
  it('is not written again by the same digit, unless the digits begin anew', () => {
    const five = typeKeys(start, '5');
    // 55 is no fret of the neck, so that the second 5 means fret 5 again.
    expect(refusalOfKey(five, '5')).toBe('fret 5 is on string 3 already');
    expect(refusalOfKey(typeKeys(start, '0'), '0')).toBe('fret 0 is on string 3 already');
    const back = press(five, 'ArrowRight', 'ArrowLeft');
    expect(refusalOfKey(back, '5')).toBeNull();
    expect(typeKeys(back, '5').selection.typed).toBe('5');
  });

  it('is no other way of reading digits', () => {
    expect(refusal(start, 'write.reading', 'fret')).toBe('digits are frets already');
    expect(ordered(start, 'write.reading', 'degree').pen.reading).toBe('degree');
  });

  it('is read anew where an accidental waits for its degree', () => {
    const flat = press(ordered(start, 'write.reading', 'degree'), 'b');
    expect(ordered(flat, 'write.reading', 'degree').pen.alter).toBe(0);
  });
});

describe('a rest that a habit leaves', () => {
  const wrote = (keys: string) => typeKeys(ordered(start, 'write.reading', 'degree'), keys);
  const enter = (s: typeof start) => {
    const outcome = runCommand(s, go, 'on');
    return outcome.kind === 'done' ? outcome.say : outcome.because;
  };

  it('is said where a degree has gone on by itself, and only there', () => {
    expect(enter(wrote('3'))).toBe('a rest is left there: degrees and fingers go on by themselves');
    expect(enter(press(wrote('3'), 'Enter'))).toBe('');
    // Back on the note, Enter goes over it and leaves nothing.
    expect(enter(press(wrote('3'), 'ArrowLeft'))).toBe('');
    expect(enter(typeKeys(start, '3'))).toBe('');
  });
});

describe('one note together with the last', () => {
  const strings = (s: typeof start) => s.selection.cursor.string;

  it('goes to the next free string, and again to the one after', () => {
    const s = ordered(cursorOn(build('w 3/7'), 3), 'write.together');
    expect(strings(s)).toBe(2);
    const seen = [s];
    for (let i = 0; i < 5; i++) seen.push(ordered(seen.at(-1)!, 'write.together'));
    expect(seen.map(strings)).toEqual([2, 1, 4, 5, 6, 2]);
  });

  it('finds the string between two that are taken', () => {
    const p = build('w 6/3+5/2+4/0+2/0+1/3');
    const s = ordered(cursorOn(p, 1), 'write.together');
    expect(strings(s)).toBe(3);
    expect(refusal(s, 'write.together')).toBe('the cursor is on the only free string already');
  });

  it('is refused where every string is taken, and where there is no note', () => {
    const full = cursorOn(build('w 6/3+5/2+4/0+3/0+2/0+1/3'), 1);
    expect(refusal(full, 'write.together')).toBe('every string is taken');
    expect(refusal(start, 'write.together')).toBe('there is no note to write it together with');
  });
});

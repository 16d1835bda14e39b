import { describe, expect, it } from 'vitest';
import { cursorAt, READINGS, startEditing } from '../../../../src/core/edit/state';
import { boundTo, COMMANDS, commandOf } from '../../../../src/core/edit/table';
import { analyse } from '../../../../src/core/understand/analyse';
import { type KeyStroke, strokeName } from '../../../../src/ui/frame/writing/stroke';
import { whereInWords } from '../../../../src/ui/frame/writing/where';
import { keyWords, titleOfRun } from '../../../../src/ui/shared/command-words';
import { OFFERED, offersFor } from '../../../../src/ui/write/offers';
import { build } from '../../../support/build';
import { emptyPhrase, typeKeys } from '../../../support/edit';

const stroke = (
  key: string,
  held: Partial<KeyStroke> & { altGraph?: boolean; capsLock?: boolean } = {},
): string =>
  strokeName({
    key,
    ctrlKey: false,
    metaKey: false,
    altKey: false,
    shiftKey: false,
    getModifierState: (name) => (name === 'CapsLock' ? held.capsLock : held.altGraph) === true,
    ...held,
  });

describe('the name of a key', () => {
  it('is the printed character, however it is made', () => {
    expect(stroke('b')).toBe('b');
    expect(stroke('B', { shiftKey: true })).toBe('B');
    expect(stroke('+', { shiftKey: true })).toBe('+');
    // A German keyboard on Windows prints | and \ with AltGr, which comes as Ctrl and Alt.
    expect(stroke('|', { altGraph: true, ctrlKey: true, altKey: true })).toBe('|');
    // On a Mac the Option key prints them.
    expect(stroke('\\', { altKey: true, shiftKey: true })).toBe('\\');
  });

  it('has what is held where nothing is printed', () => {
    expect(stroke('ArrowUp', { altKey: true })).toBe('Alt+ArrowUp');
    expect(stroke('ArrowUp', { ctrlKey: true, shiftKey: true })).toBe('Ctrl+Shift+ArrowUp');
    expect(stroke('ArrowRight', { metaKey: true })).toBe('Ctrl+ArrowRight');
    expect(stroke('b', { altKey: true })).toBe('Alt+b');
    expect(stroke('c', { ctrlKey: true })).toBe('Ctrl+c');
  });

  it('is what it is without Caps Lock, also where Shift turns the letter round', () => {
    expect(stroke('B', { capsLock: true })).toBe('b');
    expect(stroke('h', { capsLock: true, shiftKey: true })).toBe('H');
    expect(stroke('H', { capsLock: true, shiftKey: true })).toBe('H');
    expect(stroke('Z', { capsLock: true, ctrlKey: true })).toBe('Ctrl+z');
    expect(stroke('ArrowUp', { capsLock: true })).toBe('ArrowUp');
  });

  it('is what the table of commands knows', () => {
    expect(boundTo(stroke('ArrowRight', { shiftKey: true }), 'fret')?.command.id).toBe('choose');
    expect(boundTo(stroke('d', { altKey: true }), 'fret')).toBeNull();
  });
});

describe('words of commands', () => {
  it('complete the title by the choice or by what is typed', () => {
    expect(titleOfRun(commandOf('bend.width')!, 2)).toBe('Bend by a whole tone');
    expect(titleOfRun(commandOf('chord.here')!, 'IV7')).toBe('Write a chord at the cursor: IV7');
    expect(titleOfRun(commandOf('write.rest')!)).toBe('Write a rest');
    expect(keyWords('Ctrl+Shift+ArrowUp')).toBe('Ctrl+Shift+↑');
    expect(keyWords('+')).toBe('+');
  });

  it('what is offered beneath the score is in the table, with a value it takes', () => {
    for (const row of OFFERED) {
      for (const [id, , value] of row) {
        const command = COMMANDS.find((c) => c.id === id);
        expect(command, id).toBeDefined();
        const { ask } = command!;
        if (ask.kind === 'choice')
          expect(
            ask.choices.map((c) => c.value),
            id,
          ).toContain(value);
        else expect(ask.kind, id).toBe('nothing');
      }
    }
  });

  it('fit what is chosen', () => {
    const first = (s: ReturnType<typeof startEditing>) => offersFor(s)[0]!.command.id;
    const empty = startEditing(emptyPhrase());
    expect(first(empty)).toBe('write.rest');
    const note = typeKeys(empty, '7');
    expect(first(note)).toBe('hand.legato');
    expect(offersFor(typeKeys(note, 'b')).map((o) => o.short)).toContain('Wider');
    const block = { ...note, selection: { ...note.selection, corner: { onset: 0, string: 1 } } };
    expect(offersFor(block).map((o) => o.command.id)).toContain('choose.nothing');
  });

  it('every key of every reading does something', () => {
    for (const reading of READINGS) expect(boundTo('5', reading), reading).not.toBeNull();
  });
});

describe('where the writer is', () => {
  const p = build('e 3/5 3/7(h) q 2/8+1/8 h - | w 3/5', { key: 'C', chords: 'C7 | F7' });
  const at = (onset: number, string: number) => ({
    ...startEditing(p),
    selection: cursorAt(0, { onset, string }),
  });
  const words = (s: ReturnType<typeof at>) => whereInWords(s, analyse(p));

  it('has bar, beat, string, fret, degree and technique', () => {
    expect(words(at(5_040, 3))).toBe(
      'Bar 1, beat 1 and, string 3, fret 7: D, 2 of C7 (extension), hammered on, for an eighth',
    );
    expect(words(at(5_040, 2))).toBe('Bar 1, beat 1 and, string 2: a note on string 3');
    expect(words(at(10_080, 3))).toBe('Bar 1, beat 2, string 3: notes on strings 1, 2');
    expect(words(at(30_240, 6))).toBe('Bar 1, beat 4, string 6: empty');
    expect(words(at(80_640, 2))).toBe('After the end, string 2');
  });

  it('counts what is chosen', () => {
    const s = at(5_040, 3);
    const block = { ...s, selection: { ...s.selection, corner: { onset: 10_080, string: 2 } } };
    expect(words(block)).toBe(
      '2 notes chosen: bar 1, beat 1 and, to bar 1, beat 2, strings 2 to 3',
    );
    const toEnd = { ...s, selection: { ...s.selection, corner: { onset: 80_640, string: 3 } } };
    expect(words(toEnd)).toBe('2 notes chosen: bar 1, beat 1 and, to the end, string 3');
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { chosenNotes } from '../../../../src/core/edit/select';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import { build } from '../../../support/build';
import { press } from '../../../support/edit';

const run = (s: EditState, id: string, value?: unknown) => runCommand(s, commandOf(id)!, value);
const chosen = (s: EditState) => chosenNotes(s).map((c) => c.note.id);

describe('what is chosen stays chosen', () => {
  it.each([1, -1])('where notes of one string go to several, chosen towards %i', (way) => {
    const one = build('q 3/5 3/7 3/9 3/12', {});
    const begun = startEditing(one);
    const [cursor, corner] = [
      { onset: 30_240, string: 3 },
      { onset: 0, string: 3 },
    ];
    const selection =
      way > 0
        ? { ...begun.selection, cursor, corner }
        : { ...begun.selection, cursor: corner, corner: cursor };
    const outcome = run({ ...begun, selection }, 'neck.capo-pitches', 7);
    if (outcome.kind !== 'done') throw new Error(outcome.because);
    const strings = new Set(chosenNotes(outcome.state).map((c) => c.note.string));
    expect(strings.size).toBeGreaterThan(1);
    expect(chosen(outcome.state)).toEqual(['n1', 'n2', 'n3', 'n4']);
  });

  const line = build('e 3/5 3/7 2/5 2/8 q - 3/5 | w -', {});
  // The last three eighths; nothing is chosen before them.
  const three = press(
    startEditing(line),
    'ArrowRight',
    'Shift+ArrowRight',
    'Shift+ArrowRight',
    'Shift+ArrowUp',
  );

  it('where notes grow longer and push each other on', () => {
    expect(chosen(three)).toEqual(['n2', 'n3', 'n4']);
    const quarters = press(three, 'q');
    expect(chosen(quarters)).toEqual(['n2', 'n3', 'n4']);
    expect(chosen(press(quarters, ';', ','))).toEqual(['n2', 'n3', 'n4']);
  });

  it.each([
    ['move.time', 'later'],
    ['move.stretch', 'double'],
    ['move.semitone', 1],
    ['move.octave', 1],
    ['note.other-string', undefined],
  ])('after %s', (id, value) => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 3 }), (times) => {
        let s = three;
        for (let i = 0; i < times; i++) {
          const outcome = run(s, id, value);
          if (outcome.kind === 'done') s = outcome.state;
        }
        expect(chosen(s)).toEqual(['n2', 'n3', 'n4']);
      }),
    );
  });
});

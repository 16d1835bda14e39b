import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import { emptyPhrase, press } from '../../../support/edit';

/** `onset+duration frets` in 1,260 ticks (32nds). */
function told(s: EditState): string[] {
  return s.phrase.voices[0].events.map(
    (e) => `${e.onset / 1_260}+${e.duration / 1_260} ${e.notes.map((n) => n.fret).join('.')}`,
  );
}

function run(s: EditState, id: string, value: unknown): EditState {
  const outcome = runCommand(s, commandOf(id)!, value);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  return outcome.state;
}

const start = startEditing(emptyPhrase());
const three = press(start, '5', 'Enter', '7', 'Enter', '9', 'Home');

describe('writing over and pushing on', () => {
  it('over: a rest takes a note out and says so, what comes later stays', () => {
    const outcome = runCommand(three, commandOf('write.rest')!, undefined);
    expect(outcome).toMatchObject({ kind: 'done', say: 'rest; a note taken out' });
    expect(told(press(three, 'r'))).toEqual(['4+4 7', '8+4 9']);
  });

  it('push: a rest, a new note and a repeat move later notes on', () => {
    const push = run(three, 'length.flow', 'push');
    expect(told(press(push, 'r'))).toEqual(['4+4 5', '8+4 7', '12+4 9']);
    expect(told(press(push, 'Enter', '='))).toEqual(['0+4 5', '4+4 5', '8+4 7', '12+4 9']);
    const gap = run(press(start, 'Enter', '7', 'Home'), 'length.flow', 'push');
    expect(told(press(gap, 'q', '5'))).toEqual(['0+8 5', '12+4 7']);
  });

  it('push: a longer value moves what follows, a shorter one pulls it', () => {
    const push = run(three, 'length.flow', 'push');
    expect(told(press(push, 'q'))).toEqual(['0+8 5', '8+4 7', '12+4 9']);
    expect(told(press(push, 's'))).toEqual(['0+2 5', '2+4 7', '6+4 9']);
  });

  it('over: a longer value takes out what begins in it', () => {
    expect(told(press(three, 'q'))).toEqual(['0+8 5', '8+4 9']);
  });
});

describe('triplets', () => {
  it('begin with a rest or a repeat as well as with a note', () => {
    const rested = press(start, 't', 'r', '5', 'Enter', '7');
    expect(rested.phrase.voices[0].tuplets).toEqual([
      { onset: 0, duration: 10_080, actual: 3, normal: 2 },
    ]);
    expect(rested.phrase.voices[0].events.map((e) => [e.onset, e.duration])).toEqual([
      [3_360, 3_360],
      [6_720, 3_360],
    ]);
    const again = press(start, 'q', '5', 'Enter', 'e', 't', '=', '=', '=');
    expect(again.phrase.voices[0].events.map((e) => [e.onset, e.duration])).toEqual([
      [0, 10_080],
      [10_080, 3_360],
      [13_440, 3_360],
      [16_800, 3_360],
    ]);
  });
});

import { describe, expect, it } from 'vitest';
import { runCommand } from '../../../../src/core/edit/run';
import { type EditState, startEditing } from '../../../../src/core/edit/state';
import { commandOf } from '../../../../src/core/edit/table';
import { build } from '../../../support/build';

const FOUR_BARS = startEditing(build('w 3/5 | 3/7 | 3/9 | 3/5', { chords: 'C7 | F7 | G7 | C7' }));
const BAR = 40_320;

function ask(s: EditState, bar: number, what: 'start' | 'end' | 'none') {
  const cursor = { onset: (bar - 1) * BAR, string: 3 };
  const there = { ...s, selection: { ...s.selection, cursor } };
  return runCommand(there, commandOf('bar.repeat')!, what);
}

function run(s: EditState, bar: number, what: 'start' | 'end' | 'none'): EditState {
  const outcome = ask(s, bar, what);
  if (outcome.kind !== 'done') throw new Error(outcome.because);
  return outcome.state;
}

/** `|:` and `:|` of every bar, as they are read on the page. */
const signs = (s: EditState) =>
  s.phrase.bars.map((b) => `${b.repeatStart ? '|:' : ''}${b.repeatEnd === undefined ? '' : ':|'}`);

describe('repeats', () => {
  it('begin at a bar without ending there', () => {
    const ended = run(FOUR_BARS, 3, 'end');
    expect(signs(run(ended, 2, 'start'))).toEqual(['', '|:', ':|', '']);
  });

  it('begin and end at one bar where it ends already', () => {
    const ended = run(FOUR_BARS, 2, 'end');
    const alone = run(ended, 2, 'start');
    expect(signs(alone)).toEqual(['', '|::|', '', '']);
    expect(alone.phrase.bars[1]!.repeatEnd).toBe(2);
  });

  it('keep their other bars where the first or the last is taken out', () => {
    const without = (s: EditState, bar: number) => {
      const cursor = { onset: (bar - 1) * BAR, string: 3 };
      const there = { ...s, selection: { ...s.selection, cursor } };
      const outcome = runCommand(there, commandOf('bar.delete')!);
      if (outcome.kind !== 'done') throw new Error(outcome.because);
      return signs(outcome.state);
    };
    const middle = run(run(FOUR_BARS, 3, 'end'), 2, 'start');
    expect(without(middle, 2)).toEqual(['', '|::|', '']);
    expect(without(middle, 3)).toEqual(['', '|::|', '']);
    expect(without(middle, 1)).toEqual(['|:', ':|', '']);
    // From the beginning, without a sign there.
    expect(without(run(FOUR_BARS, 3, 'end'), 3)).toEqual(['', ':|', '']);
    // One that is taken out whole leaves nothing, and none is given to the bars before it.
    expect(without(run(run(FOUR_BARS, 2, 'end'), 2, 'start'), 2)).toEqual(['', '', '']);
    expect(without(run(run(FOUR_BARS, 1, 'end'), 2, 'end'), 2)).toEqual([':|', '', '']);
  });

  it('are not begun where none ends', () => {
    expect(ask(FOUR_BARS, 2, 'start')).toEqual({
      kind: 'not applicable',
      because: 'no repeat ends at this bar or after it: let one end first',
    });
    // A repeat that ends before the bar is no end for one that begins with it.
    expect(ask(run(FOUR_BARS, 1, 'end'), 2, 'start').kind).toBe('not applicable');
  });

  it('are not begun, ended or taken off twice', () => {
    const twice = run(run(FOUR_BARS, 3, 'end'), 2, 'start');
    expect(ask(twice, 2, 'start')).toMatchObject({ because: 'a repeat begins there already' });
    expect(ask(twice, 3, 'end')).toMatchObject({ because: 'a repeat ends there already' });
    expect(ask(twice, 1, 'none')).toMatchObject({ because: 'no repeat begins or ends there' });
  });

  it('keep an end for what begins', () => {
    const twice = run(run(FOUR_BARS, 3, 'end'), 2, 'start');
    expect(ask(twice, 3, 'none')).toEqual({
      kind: 'not applicable',
      because: 'the repeat that begins with bar 2 would not end: take its beginning off first',
    });
    expect(signs(run(run(twice, 2, 'none'), 3, 'none'))).toEqual(['', '', '', '']);
  });

  it('keep the number of an ending', () => {
    const { phrase } = FOUR_BARS;
    const [a, b, c, d] = phrase.bars.map((bar) => ({ ...bar }));
    const bars = [a!, { ...b!, ending: [1], repeatEnd: 2 }, { ...c!, ending: [2] }, d!];
    const endings = startEditing({ ...phrase, bars });
    expect(run(endings, 1, 'start').phrase.bars[1]).toEqual(bars[1]);
    expect(ask(endings, 3, 'end').kind).toBe('not applicable');
  });
});

import { describe, expect, it, vi } from 'vitest';
import {
  type Action,
  createActionTable,
  keyName,
  type Stroke,
} from '../../../../src/ui/frame/actions';
import { findActions, possibleFirst } from '../../../../src/ui/frame/find-actions';

const action = (id: string, more: Partial<Action> = {}): Action => ({
  id,
  title: `Do ${id}`,
  group: 'Here',
  run: () => {},
  ...more,
});

describe('the table of actions', () => {
  it('has what was put in last first, and only while it is in', () => {
    const table = createActionTable();
    const changed = vi.fn();
    table.subscribe(changed);
    table.add([action('frame')]);
    const takeOut = table.add([action('page'), action('more')]);
    expect(table.list().map((a) => a.id)).toEqual(['page', 'more', 'frame']);
    takeOut();
    takeOut();
    expect(table.list().map((a) => a.id)).toEqual(['frame']);
    expect(changed).toHaveBeenCalledTimes(4);
    expect(table.list()).toBe(table.list());
  });

  it('a list that is put in twice is taken out once', () => {
    const table = createActionTable();
    const list = [action('one')];
    const first = table.add(list);
    table.add(list);
    first();
    expect(table.list().map((a) => a.id)).toEqual(['one']);
  });
});

describe('finding', () => {
  const all = [
    action('export', { title: 'Export all', words: 'save download' }),
    action('order', { title: 'Put them in order: by key', group: 'Library' }),
  ];
  it.each([
    ['', ['export', 'order']],
    ['KEY order', ['order']],
    ['down', ['export']],
    ['library', ['order']],
    ['export key', []],
  ])('%j', (typed, ids) => {
    expect(findActions(all, typed).map((a) => a.id)).toEqual(ids);
  });
});

describe('what leads to another page', () => {
  const all = [
    action('vary', { title: 'Vary it: double stops, another ending', leaves: true }),
    action('bars', { title: 'Give these bars ending 1', group: 'Bars' }),
    action('with', { title: 'Write them together', words: 'double stop', group: 'Notes' }),
  ];
  it.each([
    ['ending', ['bars', 'vary']],
    ['double stop', ['with', 'vary']],
    ['vary', ['vary']],
    ['vary ending', ['vary']],
    ['', ['vary', 'bars', 'with']],
  ])('%j', (typed, ids) => {
    expect(findActions(all, typed).map((a) => a.id)).toEqual(ids);
  });
});

describe('what is found first', () => {
  const all = [
    action('undo', { title: 'Undo “Put in an empty bar”', find: 'Undo', group: 'About' }),
    action('words', { title: 'Set the tempo', words: 'bar beat', group: 'About' }),
    action('inside', { title: 'Put in crossbars', group: 'Bars' }),
    action('bar', { title: 'Put in an empty bar', group: 'Bars' }),
    action('same-group', { title: 'Something else', words: 'bar', group: 'Bars' }),
  ];
  const found = (typed: string) => findActions(all, typed).map((a) => a.id);

  it('is called so; then what has it as another word, then what has it within a word', () => {
    // A word of its own counts more than letters inside one: metre is not in millimetres.
    expect(found('bar')).toEqual(['bar', 'same-group', 'inside', 'words']);
  });

  it('is what is called as it was typed, in several words, before what has them apart', () => {
    const pin = action('pin', { title: 'Keep it on its string in every move' });
    const move = action('move', { title: 'Move it to a chord' });
    expect(findActions([pin, move], 'move it').map((x) => x.id)).toEqual(['move', 'pin']);
  });

  it('is not what is so already', () => {
    const feels = [
      action('straight', { title: 'Let it feel straight', so: () => true }),
      action('swing', { title: 'Let it feel swung', so: () => false }),
      action('light', { title: 'Let it feel lightly swung' }),
    ];
    expect(findActions(feels, 'feel').map((a) => a.id)).toEqual(['swing', 'light', 'straight']);
    expect(findActions(feels, '').map((a) => a.id)).toEqual(['straight', 'swing', 'light']);
  });

  it('is what can be done, before what cannot', () => {
    const some = [
      action('no', { group: 'Notes' }),
      action('maybe', { group: 'Bars' }),
      action('yes', { group: 'Notes' }),
      action('never', { group: 'Else' }),
    ];
    const can = (a: Action) => a.id === 'yes' || a.id === 'maybe';
    expect(possibleFirst(some, can).map((a) => a.id)).toEqual(['maybe', 'yes', 'no', 'never']);
  });

  it('what has only the letters stays behind what is asked for and cannot be done', () => {
    const some = [
      action('begin', { title: 'Let this bar begin the repeat' }),
      action('none', { title: 'Let this bar neither begin nor end a repeat' }),
    ];
    const found = findActions(some, 'begin the repeat');
    const can = (a: Action) => a.id === 'none';
    expect(possibleFirst(found, can, 'begin the repeat').map((a) => a.id)).toEqual([
      'begin',
      'none',
    ]);
    // Both have the words: the one that can be done comes first.
    expect(possibleFirst(some, can, 'begin repeat').map((a) => a.id)).toEqual(['none', 'begin']);
  });

  it('is told what stands behind its name, or all of it without a name', () => {
    const told = vi.fn((rest: string, named: boolean) =>
      /^\d+$/u.test(rest) && named ? action(`tempo ${rest}`) : null,
    );
    const some = [
      action('tempo', { title: 'Set the tempo', told }),
      action('line', {
        title: 'Set it up',
        told: (rest, named) => (!named && rest.includes('/') ? action(`line ${rest}`) : null),
      }),
    ];
    const found = (typed: string) => findActions(some, typed).map((a) => a.id);
    expect(found('tempo 96')).toEqual(['tempo 96']);
    expect(found('set the tempo 96')).toEqual(['tempo 96']);
    expect(found('tempo')).toEqual(['tempo']);
    expect(found('tempo fast')).toEqual([]);
    expect(found('Bb 12/8')).toEqual(['line Bb 12/8']);
  });

  it('undoing a thing is found by undoing alone', () => {
    expect(found('empty bar')).toEqual(['bar']);
    expect(found('undo')).toEqual(['undo']);
  });
});

describe('names of keys', () => {
  const stroke = (key: string, more: Partial<Stroke> = {}): Stroke => ({
    key,
    ctrlKey: false,
    metaKey: false,
    altKey: false,
    shiftKey: false,
    ...more,
  });
  it.each([
    [stroke('.', { ctrlKey: true }), 'Ctrl+.'],
    [stroke('.', { metaKey: true }), 'Ctrl+.'],
    [stroke('e', { ctrlKey: true, shiftKey: true }), 'Ctrl+Shift+E'],
    [stroke('F9', { altKey: true }), 'Alt+F9'],
    [stroke('a'), 'A'],
  ])('%o is %s', (e, name) => {
    expect(keyName(e)).toBe(name);
  });
});

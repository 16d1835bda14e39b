import { describe, expect, it, vi } from 'vitest';
import {
  type Action,
  createActionTable,
  findActions,
  keyName,
  type Stroke,
} from '../../../../src/ui/frame/actions';

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

describe('what is found first', () => {
  const all = [
    action('undo', { title: 'Undo “Put in an empty bar”', find: 'Undo', group: 'About' }),
    action('words', { title: 'Set the tempo', words: 'bar beat', group: 'About' }),
    action('inside', { title: 'Put in crossbars', group: 'Bars' }),
    action('bar', { title: 'Put in an empty bar', group: 'Bars' }),
    action('same-group', { title: 'Something else', words: 'bar', group: 'Bars' }),
  ];
  const found = (typed: string) => findActions(all, typed).map((a) => a.id);

  it('is called so; then what has it in its title, then in other words', () => {
    expect(found('bar')).toEqual(['bar', 'inside', 'same-group', 'words']);
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

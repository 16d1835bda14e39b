import { describe, expect, it } from 'vitest';
import { PHRASES } from '../../src/io/kinds/kinds';
import { withValue } from '../../src/storage/at-hand';
import { View } from '../../src/storage/view';
import { phraseNamed } from './support';
import '../../src/io/kinds/checks-at-hand';

describe('what a window knows', () => {
  const record = (title: string, revision: number) => ({
    key: 'a',
    value: { id: 'a', revision, text: JSON.stringify(phraseNamed('a', title)) },
  });
  const shown = (view: View) => {
    view.publishRecords();
    return view.snapshot().phrases.map((s) => [s.peek()?.meta.title, s.revision]);
  };

  it('never goes back, in whatever order news arrive', () => {
    const view = new View(true);
    expect(view.takeRecords([record('Second', 2)])).toBe(2);
    expect(shown(view)).toEqual([['Second', 2]]);
    // Its own write, told after another window's later one was read.
    const value = phraseNamed('a', 'First');
    const stored = withValue(PHRASES, value, { sum: 1, revision: 1, sample: false });
    const item = { key: 'a', kind: PHRASES, stored, sealed: true };
    view.takeChanges([{ kind: 'put', item }], 0);
    expect(shown(view)).toEqual([['Second', 2]]);
    view.takeChanges([{ kind: 'removed', key: 'a', revision: 3, before: 2 }], 0);
    view.takeRecords([record('Second', 2)]);
    expect(shown(view)).toEqual([]);
    view.takeChanges([{ kind: 'put', item: { ...item, stored: { ...stored, revision: 4 } } }], 0);
    expect(shown(view)).toEqual([['First', 4]]);
  });

  it('tells its listeners once for each change, and not for none', () => {
    const view = new View(true);
    let told = 0;
    view.subscribe(() => told++);
    view.takeRecords([record('First', 1)]);
    view.publishRecords();
    view.takeRecords([record('First', 1)]);
    view.publishRecords();
    expect(told).toBe(1);
  });
});

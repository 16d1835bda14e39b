import { describe, expect, it } from 'vitest';
import { startEditing } from '../../../src/core/edit/state';
import { newCollection } from '../../../src/core/library/collection';
import { areVersions } from '../../../src/core/library/versions';
import type { Phrase } from '../../../src/core/phrase/types';
import { COLLECTIONS, PHRASES } from '../../../src/io/kinds/kinds';
import { createMemoryStore, createSaveQueue } from '../../../src/storage';
import { restoreVersion } from '../../../src/ui/compare/restore-version';
import type { App } from '../../../src/ui/frame/app-context';
import { editsOf } from '../../../src/ui/frame/edits';
import { keepApart, keepOnly } from '../../../src/ui/frame/keep-version';
import { createNotices } from '../../../src/ui/frame/notices';
import { NO_VERSIONS } from '../../support/no-versions';
import { phraseNamed } from '../../support/phrase-named';

const NOW = '2026-11-27T12:00:00.000Z';
const copyOf = (p: Phrase, id: string, title: string): Phrase => ({
  ...p,
  id,
  parent: p.id,
  meta: { ...p.meta, title },
});

/** `a`, what came in beside it as `b`, and a collection that names both, as a file brings it. */
async function bench() {
  const a = phraseNamed('a', 'Mine');
  const b = copyOf(a, 'b', 'Theirs');
  const kept: Phrase[] = [];
  const versions = {
    ...NO_VERSIONS,
    keep: async (_: unknown, p: unknown) => void kept.push(p as Phrase),
  };
  const store = createMemoryStore({ phrases: [a, b], versions });
  await store.opened();
  const list = newCollection(['b', 'x', 'a'], { id: 'week', now: NOW, title: 'Week' });
  await store.of(COLLECTIONS).save(list, null);
  const queue = createSaveQueue(store, {
    now: () => 0,
    newId: () => 'mine',
    after: () => () => {},
    copyTitle: (t) => t,
  });
  const notices = createNotices();
  const parts = { store, queue, notices, histories: null, newId: () => 'n', now: () => NOW };
  const app = parts as unknown as App;
  const undo = async () => {
    notices
      .list()
      .filter((n) => n.actions.length > 0)
      .at(-1)
      ?.actions[0]?.run();
    await new Promise((resolve) => setTimeout(resolve, 30));
  };
  const here = () =>
    Object.fromEntries(store.snapshot().phrases.map((p) => [p.id, p.peek()!.meta.title]));
  const named = () => store.of(COLLECTIONS).all()[0]!.value.phrases.join(' ');
  return { app, a, b, kept, undo, here, named, store };
}

describe('two versions of one phrase', () => {
  it('are those that were made at one moment and know each other', () => {
    const one = { id: 'a', parent: null, created: NOW };
    const mark = '.v-0123456789abcdef';
    expect(areVersions(one, { ...one, id: 'b', parent: 'a' })).toBe(true);
    expect(areVersions({ ...one, id: `a${mark}` }, one)).toBe(true);
    expect(areVersions(one, { ...one, id: 'b' })).toBe(false);
    expect(areVersions(one, { id: 'b', parent: 'a', created: '2026-11-27T12:00:01.000Z' })).toBe(
      false,
    );
  });

  it('the second is kept under the id of the first, and all of it can be taken back', async () => {
    const t = await bench();
    expect(await keepOnly(t.app, t.b, t.a)).toBe('a');
    expect([t.here(), t.named(), t.kept]).toEqual([{ a: 'Theirs' }, 'a x', [t.a]]);
    expect(t.store.things.removed().map((r) => r.id)).toEqual(['b']);
    await t.undo();
    expect([t.here(), t.named()]).toEqual([{ a: 'Mine', b: 'Theirs' }, 'b x a']);
  });

  it('the first is kept as it is', async () => {
    const t = await bench();
    await keepOnly(t.app, t.a, t.b);
    expect([t.here(), t.named(), t.kept]).toEqual([{ a: 'Mine' }, 'a x', []]);
    await t.undo();
    expect([t.here(), t.named()]).toEqual([{ a: 'Mine', b: 'Theirs' }, 'b x a']);
  });

  it('both are kept where something refuses, and said so', async () => {
    const t = await bench();
    const [list] = t.store.of(COLLECTIONS).all();
    const all = t.store.of(COLLECTIONS);
    const { saveAll } = all;
    all.saveAll = async () => ({ kind: 'not ready', state: 'failed' });
    await keepOnly(t.app, t.b, t.a);
    all.saveAll = saveAll;
    expect([t.here(), t.named()]).toEqual([
      { a: 'Mine', b: 'Theirs' },
      list!.value.phrases.join(' '),
    ]);
    expect(t.app.notices.list().at(-1)?.text).toBe('Both versions are still there.');
  });

  it('both are kept on request, and nobody is asked again', async () => {
    const t = await bench();
    const same = { ...t.b, meta: { ...t.b.meta, title: 'Mine' } };
    await t.store.save(same, t.store.phrase('b')!.revision);
    await keepApart(t.app, t.a, same);
    expect(t.here()).toEqual({ a: 'Mine', b: 'Mine (second version)' });
    const about = (id: string) => ({ ...t.store.phrase(id)!.identity, id });
    expect(areVersions(about('a'), about('b'))).toBe(false);
    await t.undo();
    expect(t.here()).toEqual({ a: 'Mine', b: 'Mine' });
    expect(PHRASES.identityOf(t.store.phrase('b')!.peek()!).parent).toBe('a');
  });

  it('an offer to undo takes back nothing that was done since', async () => {
    const t = await bench();
    const a = () => t.store.phrase('a')!.peek()!;
    const now = a();
    const earlier = { ...now, meta: { ...now.meta, title: 'Last year' } };
    await restoreVersion(t.app, now, { value: earlier, kept: 2, made: 1, why: 'edit' });
    expect(t.here().a).toBe('Last year');
    await retitled(t.app, a(), 'Since');
    await t.undo();
    expect(t.here().a).toBe('Since');
    expect(t.app.notices.list().at(-1)?.text).toBe('Nothing was taken back.');
    // Nothing in between, it is taken back.
    await restoreVersion(t.app, a(), { value: earlier, kept: 2, made: 1, why: 'edit' });
    await t.undo();
    expect(t.here().a).toBe('Since');
  });

  it('nor does the one after a choice between two', async () => {
    const t = await bench();
    await keepOnly(t.app, t.b, t.a);
    await retitled(t.app, t.store.phrase('a')!.peek()!, 'Since');
    await t.undo();
    expect(t.here()).toEqual({ a: 'Since', b: 'Theirs' });
    await keepApart(t.app, t.store.phrase('a')!.peek()!, t.store.phrase('b')!.peek()!);
    await retitled(t.app, t.store.phrase('b')!.peek()!, 'Since, too');
    await t.undo();
    expect(t.here()).toEqual({ a: 'Since', b: 'Since, too' });
  });
});

/** An edit as one makes it on the page, on the disk. */
async function retitled(app: App, phrase: Phrase, title: string): Promise<void> {
  const next = { ...phrase, meta: { ...phrase.meta, title } };
  editsOf(app).change(startEditing(phrase), startEditing(next), {
    command: 'phrase.title',
    label: 'the title',
  });
  await app.queue.flush();
}

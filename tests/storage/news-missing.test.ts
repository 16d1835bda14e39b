import { expect, it, vi } from 'vitest';
import { PHRASES } from '../../src/io/kinds/kinds';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import { freshBrowser, phraseNamed, saved, titles, until } from './support';

vi.mock('../../src/storage/head-news', () => {
  throw new Error('there is no network');
});

const box = freshBrowser();

it('a window that cannot fetch what reads deletions goes on hearing of everything else', async () => {
  const one = await box.browser.ready();
  const two = await box.browser.ready();
  await saved(one, phraseNamed('a', 'Quay'), null);
  await until(two, () => titles(two).a === 'Quay');
  expect(two.snapshot().state).toBe('ready');
  await saved(one, phraseNamed('b', 'Jetty'), null);
  await until(two, () => titles(two).b === 'Jetty');
});

it('and hears of deletions once it can', async () => {
  const one = await box.browser.ready();
  const backend = idbBackend(DATABASE, UPGRADES);
  let there = false;
  backend.deleted = async () => (there ? ['a'] : null);
  const two = box.browser.window(UPGRADES, backend);
  await two.opened();
  await saved(one, phraseNamed('a', 'Quay'), null);
  await one.remove(['a']);
  await until(two, () => two.things.removed().length === 1);
  await one.things.forget([{ kind: PHRASES, id: 'a' }]);
  await two.refresh();
  expect(two.things.removed()).toHaveLength(1);
  there = true;
  await two.refresh();
  expect(two.things.removed()).toEqual([]);
});

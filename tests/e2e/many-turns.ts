import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import type { Page } from 'playwright';
import { build as buildApp } from 'vite';
import { launchBrowser, visit } from './browser';
import { serveFolder } from './serve-folder';

/**
 * How long a practice plan takes to show what is due where the library holds many turns:
 * `npx tsx tests/e2e/many-turns.ts 100000 LOGS [FOLDER]`. Turns are laid into the database as the app writes
 * them, in so many logs, one of them that of the plan. Of each loading of the page: milliseconds from
 * the beginning of navigation to the turn that is due, tasks of the page's thread over 50 ms, heap.
 * FOLDER holds another build to be measured instead.
 */
const SIZE = Number(process.argv[2] ?? 10_000);
const LOGS = Number(process.argv[3] ?? 100);
const root = path.resolve(import.meta.dirname, '../..');

/** The seal is that of `storage/seal.ts`. */
const FILL = `async ({ size, logs }) => {
  const seal = (key, text) => {
    let [a, b] = [0x811c9dc5, 0x013532a7];
    for (const part of ['1 degreewise-turn 1 ' + key + ' ', text]) {
      for (let i = 0; i < part.length; i++) {
        const c = part.charCodeAt(i);
        a = Math.imul(a ^ c, 0x01000193);
        b = Math.imul(b ^ (c + i), 0x01000193);
      }
    }
    return (a >>> 0) * 0x100000 + ((b >>> 8) & 0xfffff);
  };
  const promised = (r) => new Promise((resolve, reject) => {
    r.onsuccess = () => resolve(r.result);
    r.onerror = () => reject(r.error);
  });
  const db = await promised(indexedDB.open('degreewise'));
  const read = db.transaction('records').objectStore('records');
  const range = (name) => IDBKeyRange.bound(name + ' ', name + '!');
  const [plan] = (await promised(read.getAll(range('plan')))).map((r) => JSON.parse(r.text));
  const [turn] = (await promised(read.getAll(range('turn')))).map((r) => JSON.parse(r.text));
  const sequence = await promised(db.transaction('meta').objectStore('meta').get('sequence'));
  for (let at = 0; at < size; at += 2000) {
    const tx = db.transaction(['records', 'meta'], 'readwrite', { durability: 'relaxed' });
    for (let i = at; i < Math.min(size, at + 2000); i++) {
      // Ids as they are drawn: those of one log lie anywhere.
      const id = crypto.randomUUID();
      const when = new Date(Date.parse('2020-01-01T08:00:00Z') + i * 1_800_000).toISOString();
      const text = JSON.stringify({
        ...turn,
        id,
        meta: { ...turn.meta, created: when, modified: when },
        log: i % logs === 0 ? plan.log : 'log-' + (i % logs),
        day: when.slice(0, 10),
      });
      const key = 'turn ' + id;
      tx.objectStore('records').put({ id: key, revision: sequence + 1 + i, text, sum: seal(key, text) });
    }
    tx.objectStore('meta').put(sequence + Math.min(size, at + 2000), 'sequence');
    tx.objectStore('meta').delete('heads');
    await new Promise((resolve, reject) => {
      tx.oncomplete = resolve;
      tx.onabort = () => reject(tx.error);
    });
  }
  db.close();
}`;

const WATCH = `
  window.long = [];
  new PerformanceObserver((list) => {
    for (const e of list.getEntries()) window.long.push(Math.round(e.duration));
  }).observe({ entryTypes: ['longtask'] });
`;

async function loaded(page: Page, name: string, where: string, look: string): Promise<void> {
  await page.goto('about:blank');
  await page.goto(where);
  while (!(await page.evaluate(look))) await page.waitForTimeout(20);
  const ms = (await page.evaluate('Math.round(performance.now())')) as number;
  await page.waitForTimeout(2_000);
  const long = (await page.evaluate('window.long')) as readonly number[];
  const heap = (await page.evaluate('performance.memory.usedJSHeapSize')) as number;
  console.log(
    `${name}: ${ms} ms, ${long.length} tasks over 50 ms, longest ${Math.max(0, ...long)} ms, heap ${(heap / 1e6).toFixed(1)} MB`,
  );
}

mkdirSync(path.join(root, 'dist'), { recursive: true });
const folder = mkdtempSync(path.join(root, 'dist', 'turns-'));
const given = process.argv[4];
if (given === undefined)
  await buildApp({ root, logLevel: 'warn', build: { outDir: path.join(folder, 'app') } });
const served = await serveFolder(given ?? path.join(folder, 'app'));
const browser = await launchBrowser();
try {
  const { page } = await visit(browser, served.address, '#/', { ahead: true });
  page.setDefaultTimeout(600_000);
  await page.getByRole('checkbox', { name: 'First Ferry Out' }).first().check();
  await page.getByRole('button', { name: 'Make a lesson' }).click();
  await page.getByRole('button', { name: 'Practise this' }).click();
  await page.getByRole('button', { name: /^It sits/u }).click();
  await page.getByText('1 turn on 1 day').waitFor();
  const plan = page.url();
  await page.evaluate(`(${FILL})(${JSON.stringify({ size: SIZE, logs: LOGS })})`);
  await page.addInitScript(WATCH);
  const turns = `[...document.querySelectorAll('summary')].some((e) => / turns on /u.test(e.textContent))`;
  const list = `/today/u.test(document.querySelector('#plans')?.parentElement?.textContent ?? '')`;
  const cards = `document.querySelector('.card svg') !== null`;
  await loaded(page, 'the plan, first', plan, turns);
  for (const time of ['again', 'and again']) await loaded(page, `the plan, ${time}`, plan, turns);
  await loaded(page, 'the list of plans', `${served.address}#/lessons`, list);
  await loaded(page, 'the list of phrases', `${served.address}#/`, cards);
} finally {
  await browser.close();
  await served.close();
  rmSync(folder, { recursive: true, force: true });
}

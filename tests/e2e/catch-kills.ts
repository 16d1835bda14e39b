import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { chromium, type Page } from 'playwright';
import { writeWav } from '../../src/io/wav/write';
import { renderPhrase } from '../../src/sound/render';
import { build } from '../support/build';
import { CHROMIUM } from './browser';
import { serveFolder } from './serve-folder';

/**
 * `npx tsx tests/e2e/catch-kills.ts FOLDER [KILLS]`: a take lies on the page, corrected and not kept, or one of its phrases is being
 * kept with its recording, when all processes of the browser are killed. Told for each: what had been seen before, what is found after the
 * restart. A kill ends processes, not the machine: the disk has what the system was given.
 */
const [folder, kills = '6'] = process.argv.slice(2);
if (folder === undefined) throw new Error('a folder with a build of the app is missing');
const PLAYED = build(
  'q 3/5 e 2/5 e 1/5 h 2/8 | q 3/7 q 2/5 h - | q 3/5 q 3/7 q 2/5 q 2/6 | h 2/5(vib) h -',
  { tempo: { bpm: 150, unit: 'quarter' } },
);
const own = mkdtempSync(path.join(tmpdir(), 'catch-kills-'));
const wav = path.join(own, 'played.wav');
writeFileSync(wav, writeWav(renderPhrase(PLAYED, { rate: 22_050, tail: 1 }), 22_050));
const profile = path.join(own, 'profile');
const served = await serveFolder(folder);

interface Life {
  readonly page: Page;
  readonly kill: () => Promise<void>;
}

/** A browser in a process group of its own, driven through its port. */
async function live(): Promise<Life> {
  const portFile = path.join(profile, 'DevToolsActivePort');
  rmSync(portFile, { force: true });
  const args = ['--no-sandbox', '--disable-gpu', '--remote-debugging-port=0', '--no-first-run'];
  const browser: ChildProcess = spawn(
    CHROMIUM,
    [...args, `--user-data-dir=${profile}`, 'about:blank'],
    {
      detached: true,
      stdio: 'ignore',
    },
  );
  for (let i = 0; i < 600 && !existsSync(portFile); i++) await pause(100);
  const [port] = readFileSync(portFile, 'utf8').split('\n');
  const driven = await chromium.connectOverCDP(`http://127.0.0.1:${port}`);
  const page = await driven.contexts()[0]!.newPage();
  page.setDefaultTimeout(180_000);
  await page.goto(`${served.address}#/catch`);
  const kill = async () => {
    const gone = once(browser, 'exit');
    process.kill(-browser.pid!, 'SIGKILL');
    await gone;
  };
  return { page, kill };
}

const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
const result = (page: Page) => page.getByRole('region', { name: 'What was played' });

/** How much a store of the page's holds. No function in it has a name of its own: what tsx makes of such is not there in the page. */
function countIn(page: Page, name: string, store: string): Promise<number> {
  return page.evaluate(
    async ([name, store]) => {
      const all = await indexedDB.databases();
      if (!all.some((d) => d.name === name)) return 0;
      const db = await new Promise<IDBDatabase>((done, fail) => {
        const opening = indexedDB.open(name);
        opening.onsuccess = () => done(opening.result);
        opening.onerror = () => fail(opening.error);
      });
      const n = await new Promise<number>((done, fail) => {
        const asked = db.transaction(store).objectStore(store).count();
        asked.onsuccess = () => done(asked.result);
        asked.onerror = () => fail(asked.error);
      });
      db.close();
      return n;
    },
    [name, store] as const,
  );
}

/** What stands on the page of what was caught, and what the databases hold. */
async function seen(page: Page) {
  const undo = await result(page)
    .getByRole('button', { name: /^Undo “/u })
    .allTextContents();
  return {
    corrected: undo.length,
    sounds: await countIn(page, 'degreewise-recordings', 'recordings'),
    played: await countIn(page, 'degreewise-recordings', 'played'),
  };
}

let faults = 0;
for (let i = 0; i < Number(kills); i++) {
  rmSync(profile, { recursive: true, force: true });
  let life = await live();
  let { page } = life;
  await page.getByLabel('Beats a minute').fill('150');
  await page.getByLabel('Or a recording from a file').setInputFiles(wav);
  await result(page).getByText('2 phrases, 150 beats a minute').waitFor();
  await page.locator('.pitch-picture .heard rect').first().click();
  await result(page).getByText('Or is it').waitFor();
  // Another string for it.
  await result(page)
    .getByRole('button', { name: /string \d/u })
    .first()
    .click();
  await result(page)
    .getByRole('button', { name: /^Undo “/u })
    .waitFor();
  const keeps = i % 2 === 1;
  let before: Awaited<ReturnType<typeof seen>> | null = null;
  if (keeps) {
    await result(page)
      .getByLabel(/^Keep the recording with/u)
      .check();
    await result(page).getByRole('button', { name: 'Keep it as a phrase' }).first().click();
    // Somewhere in the writing of the recording, how it was played, and the phrase.
    await pause(40 * i);
  } else {
    // What is written 60 ms after a change is on the disk, or is about to be.
    await pause([0, 150, 1000][(i / 2) % 3]!);
    before = await seen(page);
  }
  await life.kill();
  life = await live();
  ({ page } = life);
  // Another tab than the one that left it: there it is among what is not kept yet.
  const left = page.getByRole('region', { name: 'Not kept yet' });
  const there = await left
    .getByRole('button', { name: /^Go on with /u })
    .click({ timeout: 30_000 })
    .then(() => result(page).getByText('As you left it; its sound was not kept.').waitFor())
    .then(
      () => true,
      () => false,
    );
  const after = await seen(page);
  await page.evaluate(() => {
    location.hash = '#/';
  });
  await page.locator('h1').waitFor();
  await pause(1500);
  const cards = await page.getByRole('link', { name: /^played, /u }).count();
  const words = `${keeps ? 'while it was kept' : 'not kept'}: ${there ? 'the take is there' : 'NO TAKE'}, corrected phrases ${before === null ? '' : `${before.corrected} → `}${after.corrected}, recordings ${after.sounds}, as played ${after.played}, in the library ${cards}`;
  // A phrase in the library has how it was played beside it; the other way round is what a kill may leave.
  const whole = there && cards <= after.played && (keeps || after.corrected === 1);
  if (!whole) faults += 1;
  console.log(`kill ${i + 1}, ${words}${whole ? '' : '  FAULT'}`);
  await life.kill();
}
console.log(`${faults} of ${kills} left less than had been seen`);
await served.close();
rmSync(own, { recursive: true, force: true });

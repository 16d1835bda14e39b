import type { ChildProcess } from 'node:child_process';
import { rmSync } from 'node:fs';
import type { BrowserContext, Page } from 'playwright';
import {
  asked,
  fault,
  faultsSoFar,
  field,
  filesOnDisk,
  filled,
  keptAgain,
  keptSize,
  killed,
  opened,
  PATIENCE,
  pause,
  SIZE,
  scratch,
  serveApp,
  spoil,
  start,
  tag,
  tagMany,
} from './index-library';

/**
 * What becomes of the search and of what is saved where the browser has no room:
 * `npx tsx tests/e2e/index-full.ts 2000 [BUILT APP]`; with PROFILE a copy of the profile of `warm-start.ts`. Three times the browser starts with so little room that
 * the index is not kept while phrases are; that a save is refused; and that a save has room only where the index goes.
 * Then there is room again. After each, questions are asked as in `index-damage.ts`, and for every tag that was said to
 * be saved. Ends with 1 where an answer is wrong.
 */
/** What is free or missing grows with the library. */
const MIB = 2 ** 20 * (SIZE / 2_000);
const served = await serveApp(process.argv[3], 4_735);
let running: ChildProcess | null = null;

/**
 * A new browser in which so many bytes are free beside what there is, or missing for it; null for what the disk has.
 * What there is is counted in a browser before it, since one remembers for a while how much room there was. (What
 * `estimate` says of a limit is no help: Chromium always tells ten gigabytes more than are used.)
 */
async function begin(free: number | null): Promise<Page> {
  if (running !== null) await killed(running);
  let usage = 0;
  if (free !== null) {
    const { browser, context } = await start();
    running = browser;
    const page = await blank(context);
    usage = (await page.evaluate(USED)) as number;
    await killed(browser);
  }
  const { browser, context } = await start();
  running = browser;
  if (free !== null) {
    const page = await blank(context);
    const session = await context.newCDPSession(page);
    const { origin } = new URL(served.address);
    await session.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: usage + free });
    console.log(`  ${usage} bytes are used, ${free} more may be`);
  }
  return opened(context, served.address);
}

/** A page of the same address without the app. */
async function blank(context: BrowserContext): Promise<Page> {
  const page = await context.newPage();
  await page.route('**/blank', (r) => r.fulfill({ contentType: 'text/html', body: '<p>blank' }));
  await page.goto(`${served.address}blank`);
  return page;
}

/** Bytes that are used; databases count from when they are looked at. */
const USED = `(async () => {
  for (const { name } of await indexedDB.databases()) {
    await new Promise((resolve, reject) => {
      const opened = indexedDB.open(name);
      opened.onerror = () => reject(opened.error);
      opened.onsuccess = () => {
        opened.result.close();
        resolve();
      };
    });
  }
  return (await navigator.storage.estimate()).usage;
})()`;

/** Waits until nothing more is written: a second copy that is still being made would take the room that is left. */
async function written(): Promise<void> {
  for (let before = -1; ; await pause(10_000)) {
    const now = [...filesOnDisk().values()].reduce((sum, size) => sum + size, 0);
    if (now === before) return;
    before = now;
  }
}

const UNKEPT = /The device has little room left/u;
const REFUSED = /The device has no room left for this library/u;

try {
  const { browser, context } = await start();
  running = browser;
  let page = await filled(context, served.address);

  await written();

  // Room for many phrases, and none for the index, six megabytes of 2,000.
  await spoil(page, "await folder.removeEntry('index');");
  page = await begin(3 * MIB);
  await asked(page, 'room for phrases alone');
  await tagMany(page, 3);
  await field(page).fill('with:slide');
  await page
    .getByText(UNKEPT)
    .waitFor({ timeout: 30_000 * PATIENCE })
    .catch(() => fault('it is not said that the index is not kept'));
  if ((await keptSize(page)) !== 0) fault('the index took the room');
  await asked(page, 'a tag saved, no index');

  // Not even room for phrases: what is refused is said, and what was said to be saved is there.
  page = await begin(-12 * MIB);
  await asked(page, 'no room');
  await tagMany(page, 4, REFUSED);
  await asked(page, 'refused');
  page = await begin(null);
  await asked(page, 'room for all');
  await keptAgain(page, 'room for all');
  // The browser writes down where the file lies a little later; a kill before that leaves no index, which has its own script.
  await pause(5_000);

  // Room where the index goes.
  page = await begin(-3 * MIB);
  if ((await keptSize(page)) === 0) {
    throw new Error('the browser was killed before it had the index: nothing can give way');
  }
  await asked(page, 'the index there, no room');
  await tag(page, 5);
  if ((await keptSize(page)) !== 0) fault('the index did not give way');
  await asked(page, 'saved in its room');
  page = await begin(null);
  await asked(page, 'room again');
  console.log(faultsSoFar() === 0 ? 'every answer was right' : `${faultsSoFar()} WRONG`);
} finally {
  if (running !== null && running.exitCode === null && running.signalCode === null) {
    await killed(running);
  }
  await served.close();
  rmSync(scratch, { recursive: true, force: true, maxRetries: 5 });
}
process.exit(faultsSoFar() === 0 ? 0 : 1);

import type { ChildProcess } from 'node:child_process';
import { rmSync } from 'node:fs';
import {
  asked,
  beingWritten,
  faultsSoFar,
  field,
  filesOnDisk,
  filled,
  foundAgain,
  keptAgain,
  killed,
  killedTagging,
  opened,
  PATIENCE,
  pause,
  QUESTIONS,
  SIZE,
  samples,
  scratch,
  serveApp,
  spoil,
  start,
  tag,
  tagMany,
} from './index-library';

/**
 * What becomes of the search when its index on the disk is damaged, when two windows keep it at once, and when the
 * browser is killed while it is kept: `npx tsx tests/e2e/index-damage.ts [SIZE = 2000] [KILLS = 6] [BUILT APP]`.
 * With PROFILE a copy of the profile of `warm-start.ts` is used, which holds so many.
 * ONLY=kills leaves all but the kills out, ONLY=over all but those over an index that was right; they fall while the file is being written, which is looked at on the disk;
 * ONLY=saves kills while three phrases in a hundred are being saved, and counts in the database what was; ONLY=windows opens two windows at once;
 * ONLY=damage only damages, and DAMAGE=3 in the first three ways, or DAMAGE=2,4 in the second to the fourth. After each, questions are asked in the field; how many phrases they find is reckoned beside it from the definitions
 * of the questions, and phrases that were given a tag before are asked for it. Ends with 1 where an answer is wrong.
 */
const KILLS = Number(process.argv[3] ?? 6);
const OVER = process.env.ONLY === 'over';
const SAVES = process.env.ONLY === 'saves';
const ONLY_KILLS = OVER || SAVES || process.env.ONLY === 'kills';
const WINDOWS = process.env.ONLY === 'windows';
const ONLY_DAMAGE = process.env.ONLY === 'damage';

const DAMAGE: readonly (readonly [name: string, how: string])[] = [
  ['noise in its place', 'await write((b) => noise(b.length));'],
  ['short noise', 'await write(() => noise(11));'],
  ['half of it', 'await write((b) => b.slice(0, b.length >> 1));'],
  ['one bit', 'await write((b) => b.map((x, i) => (i === b.length >> 1 ? x ^ 1 : x)));'],
  ['no file', "await folder.removeEntry('index').catch(() => {});"],
  [
    'a folder in its place',
    "await folder.removeEntry('index'); await folder.getDirectoryHandle('index', { create: true });",
  ],
];
const [LAST, FIRST = 1] = (process.env.DAMAGE ?? `${DAMAGE.length}`)
  .split(',')
  .map(Number)
  .reverse();

const served = await serveApp(process.argv[4], 4_733);
let running: ChildProcess | null = null;
try {
  let { browser, context } = await start();
  running = browser;
  let page = await filled(context, served.address);

  for (const [name, how] of ONLY_KILLS || WINDOWS ? [] : DAMAGE.slice(FIRST - 1, LAST)) {
    await spoil(page, how);
    await page.close();
    page = await opened(context, served.address);
    await asked(page, name);
    await keptAgain(page, name);
  }

  if (!ONLY_KILLS && !ONLY_DAMAGE) {
    // Two windows that build and keep at once, and are told of what the other saves.
    await spoil(page, DAMAGE[0]![1]);
    await page.close();
    const [one, two] = await Promise.all([
      opened(context, served.address),
      opened(context, served.address),
    ]);
    await Promise.all([asked(one!, 'two at once, one'), asked(two!, 'two at once, the other')]);
    await one!.bringToFront();
    await tag(one!, 7);
    await two!.bringToFront();
    await tag(two!, 70);
    await asked(two!, 'a tag in each, the other');
    await one!.bringToFront();
    await asked(one!, 'a tag in each, one');
    await pause(7_000);
    await one!.close();
    await two!.reload();
    await two!.getByText(`${SIZE} phrases`, { exact: true }).first().waitFor();
    await asked(two!, 'loaded again');
    page = two!;
  }

  // Killed while the index is written: over none, over noise, and over the one that was right until then.
  let within = 0;
  for (let i = 0; i < (ONLY_DAMAGE ? 0 : KILLS); i++) {
    await asked(page, `kill ${i + 1}, before`);
    if (SAVES) {
      await tag(page, 200 + i);
      // From before the first is written to after the last.
      const of = await killedTagging(
        browser,
        page,
        (3 * i) % samples.length,
        (2_000 * PATIENCE * i) / KILLS,
      );
      ({ browser, context } = await start());
      running = browser;
      page = await opened(context, served.address);
      await foundAgain(page, of);
      await asked(page, `kill ${i + 1} of a save, after`);
      continue;
    }
    let before = filesOnDisk();
    if (!OVER && i % 3 < 2) {
      await tag(page, 100 + i);
      await spoil(page, DAMAGE[i % 3 === 0 ? 4 : 0]![1]);
      await page.reload();
      await page.getByText(`${SIZE} phrases`, { exact: true }).first().waitFor();
      before = filesOnDisk();
      await field(page).fill(QUESTIONS[0]!);
    } else {
      await tagMany(page, i % samples.length);
      // The second copy of the phrases lies there, too; the index comes four seconds behind the last change.
      before = filesOnDisk();
    }
    const begun = await beingWritten(before);
    await killed(browser);
    const after = filesOnDisk();
    const whole = Math.max(0, ...before.values());
    const left = [...after].filter(([name]) => !before.has(name)).map(([, size]) => size);
    const replaced = [...before.keys()].some((name) => !after.has(name));
    if (begun !== null && !replaced && left.length > 0) within++;
    console.log(
      `  killed at ${begun} bytes of the new file, of which ${left.join(', ') || 'none'} are left;`,
      `the one before (${whole} bytes) ${replaced ? 'was replaced' : 'is there'}`,
    );
    ({ browser, context } = await start());
    running = browser;
    page = await opened(context, served.address);
    await asked(page, `kill ${i + 1}, after`);
  }
  if (KILLS > 0 && !SAVES && !ONLY_DAMAGE)
    console.log(`${within} of ${KILLS} kills fell inside a write`);
  console.log(faultsSoFar() === 0 ? 'every answer was right' : `${faultsSoFar()} WRONG`);
} finally {
  if (running !== null && running.exitCode === null && running.signalCode === null) {
    await killed(running);
  }
  await served.close();
  rmSync(scratch, { recursive: true, force: true, maxRetries: 5 });
}
process.exit(faultsSoFar() === 0 ? 0 : 1);

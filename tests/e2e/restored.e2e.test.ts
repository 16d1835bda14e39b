import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { chromium } from 'playwright';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { expectAccessible } from './browser';
import { breakDatabase } from './kill/break-database';

let profile = '';
beforeAll(() => {
  profile = mkdtempSync(path.join(os.tmpdir(), 'degreewise-restored-'));
});
afterAll(() => rmSync(profile, { recursive: true, force: true, maxRetries: 5 }));

async function open() {
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
  });
  const page = context.pages()[0] ?? (await context.newPage());
  await page.goto(inject('appAddress'));
  await page.getByRole('heading', { level: 1 }).waitFor();
  return { context, page };
}

describe('a library that the browser threw away', () => {
  it('is there again, and the page says what happened', async () => {
    const first = await open();
    const cards = first.page.getByRole('listitem').filter({ has: first.page.getByRole('heading') });
    // They come in several frames.
    const before = 33;
    await expect.poll(() => cards.count(), { timeout: 10_000 }).toBe(before);
    await first.context.close();
    breakDatabase(profile);
    const { context, page } = await open();
    const notice = page.getByRole('alert').filter({ hasText: 'thrown the library away' });
    await notice.waitFor();
    expect(await notice.textContent()).toContain(`${before} phrases were brought back`);
    const again = page.getByRole('listitem').filter({ has: page.getByRole('heading') });
    await expect.poll(() => again.count()).toBe(before);
    await expectAccessible(page);
    await notice.getByRole('button', { name: 'I have seen it' }).click();
    expect(await notice.count()).toBe(0);
    await context.close();
  });
});

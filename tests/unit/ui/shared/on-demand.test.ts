import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { fetchAhead, NotThere, onDemand } from '../../../../src/ui/shared/on-demand';

/** What the host answers when it is asked for the page, and the script this page came with. */
function host(answer: string | null, own: string | null = './assets/start-1.js'): void {
  vi.stubGlobal('document', {
    querySelector: () => (own === null ? null : { getAttribute: () => own }),
  });
  vi.stubGlobal('fetch', async () => {
    if (answer === null) throw new TypeError('no network');
    return new Response(answer);
  });
}

beforeEach(() => host('<script src="./assets/start-1.js">'));
afterEach(() => vi.unstubAllGlobals());

/** A part that comes when `there` says so. */
function part(come: () => boolean) {
  let asked = 0;
  const one = onDemand('The page for writing', async () => {
    asked++;
    if (!come()) throw new TypeError('Failed to fetch dynamically imported module');
    return { name: 'write' };
  });
  return { one, asked: () => asked };
}

describe('a part that is fetched on demand', () => {
  it('comes once and is kept', async () => {
    const { one, asked } = part(() => true);
    expect(one.known()).toBeNull();
    const [a, b] = await Promise.all([one.get(), one.get()]);
    expect(a).toBe(b);
    expect(one.known()).toBe(a);
    expect(asked()).toBe(1);
  });

  it('is asked for again when it did not come', async () => {
    let network = false;
    const { one, asked } = part(() => network);
    await expect(one.get()).rejects.toBeInstanceOf(NotThere);
    network = true;
    await one.get();
    expect(asked()).toBe(2);
  });

  it.each([
    ['no network', null, /There is no network/u],
    ['new version', '<script src="./assets/start-2.js">', /A newer Degreewise/u],
    ['unknown', '<script src="./assets/start-1.js">', /Try again, or load the page again/u],
  ])('says why it did not come: %s', async (why, answer, words) => {
    host(answer);
    const reason = await part(() => false)
      .one.get()
      .catch((e: NotThere) => e);
    expect(reason).toMatchObject({ why, what: 'The page for writing' });
    expect((reason as NotThere).message).toMatch(/^The page for writing could not be fetched\. /u);
    expect((reason as NotThere).message).toMatch(words);
  });

  it('is fetched ahead, with what it brings to light; one that does not come holds nothing up', async () => {
    let inner: ReturnType<typeof part> | null = null;
    const missing = part(() => false);
    const outer = onDemand('Outer', async () => {
      inner ??= part(() => true);
      return inner;
    });
    expect(await fetchAhead()).toBe(false);
    expect(outer.known()).not.toBeNull();
    expect(inner!.asked()).toBe(1);
    expect(missing.asked()).toBe(1);
  });

  it('is fetched ahead in tasks of their own: all at once would hold up the page', async () => {
    const parts = Array.from({ length: 20 }, () => part(() => true));
    const fetched = fetchAhead();
    const asked = parts.reduce((sum, { asked }) => sum + asked(), 0);
    expect(asked).toBeLessThan(2);
    await fetched;
    expect(parts.every(({ one }) => one.known() !== null)).toBe(true);
  });
});

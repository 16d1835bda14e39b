import { expect, it } from 'vitest';
import { PHRASES } from '../../../src/io/kinds/kinds';
import { createMemoryStore, type Refusal } from '../../../src/storage';
import { bringBackLast, inParts, removePhrases } from '../../../src/ui/frame/keep-and-remove';
import { createNotices } from '../../../src/ui/frame/notices';
import { refusalInWords } from '../../../src/ui/shared/save-words';
import { phraseNamed } from '../../support/phrase-named';

const SIZE = 1_000;
const one = phraseNamed('p', 'Quay');
const phrases = Array.from({ length: SIZE }, (_, i) => ({ ...one, id: `p${i}` }));
const ids = phrases.map((p) => p.id);

async function desk(refuse: () => Refusal | null = () => null) {
  const store = createMemoryStore({ phrases, refuse });
  await store.opened();
  const notices = createNotices();
  const texts = () => notices.list().map((n) => n.text);
  const left = () => store.snapshot().phrases.length;
  return { store, notices, texts, left };
}

it('removes many in parts, shows how far it is, and brings all back', async () => {
  const { store, notices, texts, left } = await desk();
  const parts = new Set<number>();
  notices.subscribe(() => {
    for (const n of notices.list()) if (n.part !== undefined) parts.add(n.part);
  });
  await removePhrases({ store, notices }, ids);
  expect([...parts]).toEqual([0, 256 / SIZE, 512 / SIZE, 768 / SIZE, 1]);
  expect(texts()).toEqual([expect.stringContaining('1000 phrases removed.')]);
  expect(left()).toBe(0);
  await bringBackLast({ store, notices });
  expect(texts().at(-1)).toBe('1000 phrases brought back.');
  expect(left()).toBe(SIZE);
});

it('stops where it is told to, and says what is done; the rest can follow', async () => {
  const { store, notices, texts, left } = await desk();
  notices.subscribe(() => {
    const n = notices.list().find((x) => (x.part ?? 0) > 0.5);
    n?.actions[0]?.run();
  });
  await removePhrases({ store, notices }, ids);
  // While one part is copied the next is written: that one is done, too.
  expect([left(), texts().at(-1)]).toEqual([
    SIZE - 768,
    expect.stringContaining('768 phrases removed.'),
  ]);
  // Bringing back is stopped too, and what is left comes back the second time.
  await bringBackLast({ store, notices });
  expect(left()).toBe(SIZE);
});

it('tells why it could not go on, and what it did can be undone', async () => {
  let writes = 0;
  const full: Refusal = { kind: 'quota', usage: 1, quota: 1 };
  const { store, notices, texts, left } = await desk(() => (++writes === 2 ? full : null));
  await removePhrases({ store, notices }, ids);
  // The third part had begun when the second was refused.
  expect(left()).toBe(SIZE - 512);
  expect(texts()).toEqual(['The rest was not removed.', expect.stringContaining('512 phrases')]);
  // In the words that every save is refused with.
  expect(notices.list().flatMap((n) => n.lines)).toEqual(refusalInWords(full));
  expect(refusalInWords(full).join(' ')).toMatch(
    /no room left.*save what you would lose to a file/u,
  );
  await bringBackLast({ store, notices });
  expect(left()).toBe(SIZE);
});

it('keeps what was removed last where bringing it back is refused, or nothing more is removed', async () => {
  let full = false;
  const refusal: Refusal = { kind: 'quota', usage: 1, quota: 1 };
  const { store, notices, texts, left } = await desk(() => (full ? refusal : null));
  await removePhrases({ store, notices }, ['p1', 'p2']);
  await removePhrases({ store, notices }, ['p1', 'p2']);
  full = true;
  await bringBackLast({ store, notices });
  expect(texts()).toContain('Nothing was brought back.');
  full = false;
  await bringBackLast({ store, notices });
  expect(left()).toBe(SIZE);
});

it('has two parts under way at most, in order', async () => {
  const { store, notices } = await desk();
  const things = ids.map((id) => ({ kind: PHRASES, id }));
  let [underWay, most] = [0, 0];
  const begun: string[] = [];
  const { done } = await inParts({ store, notices }, things, 'Removing', async (some) => {
    begun.push(some[0]!.id);
    most = Math.max(most, ++underWay);
    await new Promise((resolve) => setTimeout(resolve, 2));
    underWay -= 1;
    return { kind: 'done', things: some };
  });
  expect([most, underWay]).toEqual([2, 0]);
  expect(begun).toEqual(['p0', 'p256', 'p512', 'p768']);
  expect(done).toEqual(things);
});

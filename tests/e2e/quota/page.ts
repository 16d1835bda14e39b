/* A page that keeps writing phrases until one is refused, and then a small one again. */
import { openLibrary } from '../../../src/storage';
import { phraseNamed } from '../../support/phrase-named';

/** Text that does not get smaller when it is compressed. */
function noise(length: number): string {
  const bytes = crypto.getRandomValues(new Uint8Array(length / 2));
  return [...bytes].map((b) => b.toString(16).padStart(2, '0')).join('');
}

const store = openLibrary();

/** Titles of what is in the library, sorted. */
function titles(): readonly string[] {
  return store
    .snapshot()
    .phrases.map((s) => s.identity.title)
    .sort();
}

async function fill() {
  await store.opened();
  for (let n = 0; n < 200; n++) {
    const phrase = phraseNamed(`p${n}`, `Number ${n}`);
    const long = { ...phrase, meta: { ...phrase.meta, notes: noise(20_000) } };
    const result = await store.save(long, null);
    if (result.kind !== 'saved') return { saved: n, result, titles: titles() };
  }
  return null;
}

async function saveSmall(title: string) {
  await store.opened();
  const result = await store.save(phraseNamed(title, title), null);
  return { kind: result.kind, titles: titles() };
}

const page = { fill, saveSmall };
export type QuotaPage = typeof page;
Object.assign(window, { page });

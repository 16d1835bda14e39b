import type { App } from '../app/app-context';
import { refusalInWords } from '../shared/save-words';
import { count } from '../shared/words';

type Deps = Pick<App, 'store' | 'notices'>;

/** Lays the samples into a library that has never had any; an empty one that has is left empty. */
export async function seedOnFirstStart({ store, notices }: Deps): Promise<void> {
  if ((await store.opened()) !== 'ready') return;
  const { phrases, problems } = store.snapshot();
  if (phrases.length + problems.length > 0) return;
  const { readSamples } = await import('./samples');
  const result = await store.seedSamples(await readSamples());
  if (result.kind === 'seeded' || result.kind === 'seeded before') return;
  notices.trouble('The samples could not be laid in.', refusalInWords(result));
}

/** Takes the samples that are as they were out of the library. */
export async function removeSamples({ store, notices }: Deps): Promise<void> {
  const result = await store.removeSamples();
  if (result.kind !== 'done') {
    notices.trouble('The samples were not removed.', refusalInWords(result));
    return;
  }
  const { ids } = result;
  notices.done(`${count(ids.length, 'sample')} removed. Those you changed are still here.`, {
    label: 'Undo',
    run: () => void restorePhrases({ store, notices }, ids),
  });
}

/** Lays the samples in again, for a library from which they were removed. */
export async function addSamples({ store, notices }: Deps): Promise<void> {
  const { readSamples } = await import('./samples');
  const here = new Set(store.snapshot().phrases.map((p) => p.phrase.id));
  const missing = (await readSamples()).filter((p) => !here.has(p.id));
  const result = await store.add(missing);
  if (result.kind !== 'saved') {
    notices.trouble('The samples were not added.', refusalInWords(result));
    return;
  }
  notices.done(
    missing.length === 0
      ? 'All samples are here.'
      : `${count(missing.length, 'sample')} added to the library.`,
  );
}

/** Brings removed phrases back. */
export async function restorePhrases(
  { store, notices }: Deps,
  ids: readonly string[],
): Promise<void> {
  const result = await store.restore(ids);
  if (result.kind === 'done') notices.done(`${count(result.ids.length, 'phrase')} brought back.`);
  else notices.trouble('The phrases were not brought back.', refusalInWords(result));
}

/** Takes phrases out of the library, with a way back. */
export async function removePhrases(
  { store, notices }: Deps,
  ids: readonly string[],
): Promise<void> {
  const result = await store.remove(ids);
  if (result.kind !== 'done') {
    notices.trouble('Nothing was removed.', refusalInWords(result));
    return;
  }
  notices.done(
    `${count(result.ids.length, 'phrase')} removed. You have 30 days to change your mind.`,
    {
      label: 'Undo',
      run: () => void restorePhrases({ store, notices }, result.ids),
    },
  );
}

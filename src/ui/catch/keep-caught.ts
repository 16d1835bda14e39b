import { type History, NO_HISTORY } from '../../core/edit/steps';
import type { Phrase } from '../../core/phrase/types';
import type { Revision, SaveItem } from '../../storage/types';
import type { App } from '../frame/app-context';
import { revisionOf } from '../frame/draft';
import { editsOf } from '../frame/edits';
import { keepAllAsNew } from '../frame/keep-as-new';
import { titleOf } from '../shared/facts';
import { refusalInWords } from '../shared/save-words';

/** What was kept of this page already: by the id of a caught phrase how it was caught then, and what the library has of it. */
export class KeptBefore {
  readonly #all = new Map<string, Kept>();
  /** Is told of each that is kept, by its id. */
  onKept: () => void = () => {};

  get(id: string): Kept | undefined {
    return this.#all.get(id);
  }

  has(id: string): boolean {
    return this.#all.has(id);
  }

  set(id: string, kept: Kept): void {
    this.#all.set(id, kept);
    this.onKept();
  }
}

export interface Kept {
  readonly caught: Phrase;
  readonly phrase: Phrase;
  readonly history: History;
  readonly revision: Revision;
}

/** Puts back what went along with phrases before, by the ids that they have in the library. */
export type BackAlong = (ids: readonly string[]) => Promise<void>;

/**
 * Keeps what is not kept yet, and brings up to date what was kept and corrected since. What was changed in the library
 * meanwhile is left as it is there and kept once more beside it; so is what was taken out of it.
 * @param before Keeps what goes along with them, by the ids that they have, or will have, in the library, and gives the way back.
 * @returns whether all of it is in the library.
 */
export async function keepCaught(
  app: App,
  phrases: readonly Phrase[],
  histories: ReadonlyMap<string, History>,
  kept: KeptBefore,
  before: (ids: ReadonlyMap<Phrase, string>) => Promise<BackAlong>,
): Promise<boolean> {
  const stateOf = (p: Phrase) => {
    const before = kept.get(p.id);
    const now = before === undefined ? null : revisionOf(app, before.phrase.id);
    if (before === undefined || now === null) return 'new';
    if (before.caught === p) return 'same';
    return now === before.revision ? 'corrected' : 'new';
  };
  const states = phrases.map(stateOf);
  // What had been kept and was taken out, or went its own way, leaves its id behind.
  const fresh = phrases
    .filter((_, i) => states[i] === 'new')
    .map((p) => ({ caught: p, phrase: kept.has(p.id) ? { ...p, id: app.newId() } : p }));
  const ids = new Map(fresh.map(({ caught, phrase }) => [caught, phrase.id] as const));
  const back = await before(
    new Map(phrases.map((p) => [p, ids.get(p) ?? kept.get(p.id)?.phrase.id ?? p.id])),
  );
  const corrected = phrases.filter((_, i) => states[i] === 'corrected');
  if (fresh.length > 0 && !(await keepNew(app, fresh, histories, kept))) {
    // The phrases that are there stand as they were kept before.
    await back(corrected.map((p) => kept.get(p.id)!.phrase.id));
    return false;
  }
  if (corrected.length > 0) {
    return await bringUpToDate(app, corrected, { histories, kept, back });
  }
  if (fresh.length === 0) app.notices.done('All of it is in the library already.');
  return true;
}

async function keepNew(
  app: App,
  fresh: readonly Pick<Kept, 'caught' | 'phrase'>[],
  histories: ReadonlyMap<string, History>,
  kept: KeptBefore,
): Promise<boolean> {
  const pairs = fresh.map((one) => ({
    ...one,
    history: histories.get(one.caught.id) ?? NO_HISTORY,
  }));
  const own = new Map(pairs.map(({ phrase, history }) => [phrase.id, history] as const));
  const all = pairs.map((p) => p.phrase);
  if (!(await keepAllAsNew(app, all, own))) return false;
  remember(app, pairs, kept);
  return true;
}

/** Notes that phrases are in the library as they stand. */
export function remember(
  app: App,
  pairs: readonly Omit<Kept, 'revision'>[],
  kept: KeptBefore,
): void {
  for (const { caught, phrase, history } of pairs) {
    const revision = revisionOf(app, phrase.id);
    if (revision !== null) kept.set(caught.id, { caught, phrase, history, revision });
  }
}

async function bringUpToDate(
  app: App,
  corrected: readonly Phrase[],
  o: {
    readonly histories: ReadonlyMap<string, History>;
    readonly kept: KeptBefore;
    readonly back: BackAlong;
  },
): Promise<boolean> {
  const { histories, kept, back } = o;
  const before = corrected.map((p) => kept.get(p.id)!);
  const pairs = corrected.map((caught, i) => ({
    caught,
    phrase: { ...caught, id: before[i]!.phrase.id },
    history: histories.get(caught.id) ?? NO_HISTORY,
  }));
  const items = pairs.map(({ phrase }, i) => ({ phrase, base: before[i]!.revision }));
  // First, so that what comes into the library is not taken for a change of another window.
  adoptAll(app, pairs);
  const refusal = await saved(app, items);
  if (refusal !== null) {
    adoptAll(app, before);
    await back(idsOf(before));
    app.notices.trouble('The corrections were not kept.', refusal);
    return false;
  }
  remember(app, pairs, kept);
  const [one] = corrected;
  const what = corrected.length === 1 ? `“${titleOf(one!)}” is` : `${corrected.length} phrases are`;
  app.notices.done(`${what} kept as corrected now.`, {
    label: 'Undo',
    run: () => void takeBack(app, before, { kept, back }),
  });
  return true;
}

const idsOf = (all: readonly Kept[]) => all.map(({ phrase }) => phrase.id);

function adoptAll(app: App, all: readonly Pick<Kept, 'phrase' | 'history'>[]): void {
  for (const { phrase, history } of all) editsOf(app).adopt(phrase, history);
}

/** @returns why nothing was written, in words; null where it was. */
async function saved(app: App, items: readonly SaveItem[]): Promise<readonly string[] | null> {
  const result = await app.store.saveAll(items);
  if (result.kind === 'saved') return null;
  if (result.kind !== 'conflicts') return refusalInWords(result);
  const [conflict] = result.conflicts;
  return conflict === undefined ? [] : refusalInWords({ kind: 'conflict', conflict });
}

const NOT_BACK = 'They were not put back as they were kept before.';

/** Puts phrases back as they were kept before. */
async function takeBack(
  app: App,
  before: readonly Kept[],
  { kept, back }: { readonly kept: KeptBefore; readonly back: BackAlong },
): Promise<void> {
  const now = before.map(({ caught }) => kept.get(caught.id)!);
  // The offer stands longer than the next edit takes: what was done since stays, with its steps.
  await app.queue.flush();
  if (now.some(({ phrase, revision }) => revisionOf(app, phrase.id) !== revision)) {
    app.notices.trouble(NOT_BACK, ['Since then something was changed in the library.']);
    return;
  }
  adoptAll(app, before);
  const refusal = await saved(
    app,
    before.map(({ caught, phrase }) => ({ phrase, base: kept.get(caught.id)!.revision })),
  );
  if (refusal !== null) {
    adoptAll(app, now);
    app.notices.trouble(NOT_BACK, refusal);
    return;
  }
  await back(idsOf(before));
  remember(app, before, kept);
  app.notices.done('In the library it is as it was kept before.');
}

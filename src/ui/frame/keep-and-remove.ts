import { PHRASES } from '../../io/kinds/kinds';
import { pause } from '../../storage/pieces';
import type { ThingName, ThingsResult } from '../../storage/types';
import { countOf } from '../shared/count-of';
import { refusalInWords } from '../shared/save-words';
import { count } from '../shared/words';
import { type KeepingDeps, samplesOr } from './first-start';
import { DO_AGAIN, type NoticeAction, UNDO } from './notices';

/** Takes the samples that are as they were out of the library. */
export async function removeSamples({ store, notices }: KeepingDeps): Promise<void> {
  const result = await store.removeSamples();
  if (result.kind !== 'done') {
    notices.trouble('The samples were not removed.', refusalInWords(result));
    return;
  }
  const { ids } = result;
  const left = store.snapshot().phrases.some((p) => p.id.startsWith('sample-'));
  const more = left ? ' Those you changed are still here.' : '';
  notices.done(`${count(ids.length, 'sample')} removed.${more}`, {
    label: 'Undo',
    run: () => void restorePhrases({ store, notices }, ids),
  });
}

/** Lays the samples in again, for a library from which they were removed. */
export async function addSamples({ store, notices }: KeepingDeps): Promise<void> {
  const samples = await samplesOr(notices);
  if (samples === null) return;
  const here = new Set(store.snapshot().phrases.map((p) => p.id));
  const missing = samples.filter((p) => !here.has(p.id));
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
export function restorePhrases(deps: KeepingDeps, ids: readonly string[]): Promise<void> {
  return restoreThings(deps, phrasesNamed(ids));
}

/**
 * Brings back what was removed.
 * @param offers What can be done about it once it is back.
 */
export async function restoreThings(
  deps: KeepingDeps,
  things: readonly ThingName[],
  ...offers: readonly NoticeAction[]
): Promise<void> {
  const { store, notices } = deps;
  const { done, refused } = await inParts(deps, things, 'Bringing back', (some) =>
    store.things.restore(some),
  );
  // What is still to come back can be brought back another time.
  const came = new Set(done.map(nameOf));
  if (done.length < things.length) lastRemoved = things.filter((t) => !came.has(nameOf(t)));
  if (refused !== null && done.length === 0) {
    notices.trouble('Nothing was brought back.', refused);
    return;
  }
  if (refused !== null) notices.trouble(`Only ${countOf(done)} came back.`, refused);
  else notices.done(`${countOf(done)} brought back.`, ...offers);
}

const nameOf = ({ kind, id }: ThingName) => `${kind.name} ${id}`;

/** So many are written in a transaction, with a chance to stop after each. */
const TOGETHER = 256;

interface Parts {
  readonly done: readonly ThingName[];
  /** Why it did not go on, in words; null where it ended or was stopped. */
  readonly refused: readonly string[] | null;
}

/**
 * Does something to many things, all at once where they are few; otherwise some at a time, shown
 * while it goes on, and it can be stopped: then what is done stays done.
 */
export async function inParts(
  { store, notices }: KeepingDeps,
  things: readonly ThingName[],
  doing: string,
  work: (some: readonly ThingName[]) => Promise<ThingsResult>,
): Promise<Parts> {
  const done: ThingName[] = [];
  let refused: readonly string[] | null = null;
  const part = async (some: readonly ThingName[]) => {
    const result = await work(some);
    if (result.kind === 'done') done.push(...result.things);
    else refused ??= refusalInWords(result);
  };
  if (things.length <= TOGETHER) {
    await part(things);
    return { done, refused };
  }
  const shown = notices.work(`${doing} ${countOf(things)} …`);
  try {
    await store.inBulk(async () => {
      // What was chosen from is closed first, and its room given back.
      await pause();
      // While one part is copied the next is written.
      let last = Promise.resolve();
      for (let at = 0; at < things.length; at += TOGETHER) {
        const next = part(things.slice(at, at + TOGETHER)).then(() =>
          shown.tell(Math.min(1, (at + TOGETHER) / things.length)),
        );
        await last;
        last = next;
        if (refused !== null || shown.stopped()) break;
      }
      await last;
    });
  } finally {
    shown.end();
  }
  return { done, refused };
}

/** What was taken out last in this window, for the list of what can be done. */
let lastRemoved: readonly ThingName[] = [];

/** Whether something was removed here that can be brought back. */
export const canBringBack = (): boolean => lastRemoved.length > 0;

/** Brings back what was removed last in this window: its notice may have gone. */
export async function bringBackLast(deps: KeepingDeps): Promise<void> {
  const things = lastRemoved;
  lastRemoved = [];
  await restoreThings(deps, things);
}

/** Takes phrases out of the library, with a way back. */
export function removePhrases(deps: KeepingDeps, ids: readonly string[]): Promise<void> {
  return removeThings(deps, phrasesNamed(ids));
}

/**
 * Takes things of any kind out of the library, with a way back.
 * @param undone What else is to be done where it is undone.
 */
export async function removeThings(
  deps: KeepingDeps,
  named: readonly ThingName[],
  undone?: () => Promise<void>,
): Promise<void> {
  const { store, notices } = deps;
  const { done, refused } = await inParts(deps, named, 'Removing', (some) =>
    store.things.remove(some),
  );
  if (refused !== null && done.length === 0) {
    notices.trouble('Nothing was removed.', refused);
    return;
  }
  // A second tap that finds nothing left takes nothing from the first.
  if (done.length > 0) lastRemoved = done;
  if (refused !== null) notices.trouble('The rest was not removed.', refused);
  const back = done.length === 1 ? 'it' : 'them';
  // With something else undone, the removal alone would be half of what was done.
  const again =
    undone === undefined ? [{ label: DO_AGAIN, run: () => void removeThings(deps, done) }] : [];
  notices.done(`${countOf(done)} removed. “What can be done here” can bring ${back} back.`, {
    label: UNDO,
    run: () => void restoreThings(deps, done, ...again).then(undone),
  });
}

const phrasesNamed = (ids: readonly string[]) => ids.map((id) => ({ kind: PHRASES, id }));

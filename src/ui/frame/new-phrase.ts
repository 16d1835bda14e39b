import { STANDARD_GUITAR } from '../../core/phrase/instrument';
import { isCompound, meterTicks } from '../../core/phrase/time';
import { PHRASE_VERSION, type Phrase, type Tempo } from '../../core/phrase/types';
import type { Shelf } from '../../storage/left-behind';
import { localShelf } from '../../storage/shelf';
import type { LibraryStore, PhraseEntry, Revision } from '../../storage/types';
import { titleOf } from '../shared/facts';
import { refusalInWords } from '../shared/save-words';
import type { App } from './app-context';
import { revisionOf } from './draft';
import { childOf } from './keep-as-new';
import { keepKeys, letKeysGo } from './keys-ahead';
import { parseRoute } from './route';
import { clearUntouched, noteUntouched, type Untouched, untouchedOn } from './untouched';
import { navigate } from './use-route';

const METER = { beats: 4, beatType: 4 } as const;
const TEMPO = { bpm: 100, unit: 'quarter' } as const;

/**
 * One empty bar in C major, for the instrument and at the tempo that the person wrote for last; the
 * phrases that came along do not count.
 */
export function emptyPhrase(app: Pick<App, 'newId' | 'now'>, last: Phrase | null): Phrase {
  const now = app.now();
  return {
    format: 'degreewise-phrase',
    version: PHRASE_VERSION,
    id: app.newId(),
    parent: null,
    meta: { title: '', tags: [], created: now, modified: now },
    instrument: last?.instrument ?? STANDARD_GUITAR,
    key: { tonic: { letter: 'C', alter: 0 }, mode: 'major' },
    tempo: last === null ? TEMPO : tempoInQuarters(last),
    feel: { kind: 'straight' },
    pickup: 0,
    bars: [{ meter: METER }],
    length: meterTicks(METER),
    chords: [],
    voices: [{ events: [], tuplets: [] }],
    marks: [],
  };
}

/** The empty bar counts quarters, also after a phrase in 6, 9 or 12 eighths, which counts dotted ones (T2). */
function tempoInQuarters({ tempo, bars }: Phrase): Tempo {
  const beat = tempo.unit === 'dotted-quarter' && isCompound(bars[0]!.meter);
  return beat ? { ...tempo, unit: 'quarter' } : tempo;
}

/** The phrase of the person's own that was changed last; null where there is none. */
async function lastWritten(store: LibraryStore): Promise<Phrase | null> {
  let last: PhraseEntry | null = null;
  for (const p of store.snapshot().phrases) {
    if (!p.sample && (last === null || last.identity.modified <= p.identity.modified)) last = p;
  }
  return last === null ? null : ((await store.load(last.id))?.phrase ?? null);
}

/** Lays a copy of a phrase into the library, which knows where it comes from, and opens it for writing. */
export async function writeCopy(app: App, phrase: Phrase): Promise<void> {
  keepKeys();
  const title = phrase.meta.title.trim();
  const copy = childOf(app, phrase, phrase, title === '' ? '' : `${title} (copy)`);
  const saved = await app.store.save(copy, null);
  if (saved.kind !== 'saved') {
    letKeysGo();
    app.notices.trouble('The copy could not be made.', refusalInWords(saved));
    return;
  }
  // Before the page of the copy looks for it.
  const played = await givePlayed(phrase.id, copy.id);
  navigate({ page: 'write', id: copy.id, query: {} });
  app.notices.done(`This is a copy of “${titleOf(phrase)}”; the phrase itself stays as it is.`);
  if (!played) app.notices.trouble('How the phrase was played did not come with the copy.');
}

/** @returns whether the copy has what is kept of how the phrase was played. */
async function givePlayed(from: string, to: string): Promise<boolean> {
  try {
    const { copyPlayed } = await import('../../storage/recordings');
    await copyPlayed(from, to);
    return true;
  } catch {
    return false;
  }
}

/** Lays an empty phrase into the library and opens it for writing. */
export async function writeNewPhrase(app: App): Promise<void> {
  // A first visit has the button before the library is open.
  await app.store.opened();
  const phrase = emptyPhrase(app, await lastWritten(app.store));
  const saved = await app.store.save(phrase, null);
  if (saved.kind !== 'saved') {
    letKeysGo();
    app.notices.trouble('The new phrase could not be begun.', refusalInWords(saved));
    return;
  }
  navigate({ page: 'write', id: phrase.id, query: {} });
  watchUntouched(app, { id: phrase.id, began: saved.stored.revision });
}

type Desk = Pick<App, 'store' | 'queue'>;

/**
 * Takes a new phrase out again when it is left untouched, and back in when somebody goes back to it.
 * It is noted beside the library until then: a window that is closed or loaded again cannot do it.
 */
function watchUntouched(app: Desk, phrase: Untouched): void {
  const { id } = phrase;
  const shelf = localShelf();
  noteUntouched(shelf, phrase);
  const release = hold(id);
  onRoute(
    (here) => here !== id,
    () => {
      release();
      void forgetUntouched(app, id, phrase.began).then((gone) => {
        clearUntouched(shelf, id);
        if (gone)
          onRoute(
            (here) => here === id,
            () => void bringBack(app, id),
          );
      });
    },
  );
}

/** Somebody went back to where it was. */
async function bringBack(app: Desk, id: string): Promise<void> {
  await app.store.restore([id]);
  const began = app.store.phrase(id)?.revision;
  if (began !== undefined) watchUntouched(app, { id, began });
}

/**
 * What earlier windows have left untouched goes at the next start. One that this window shows, after it
 * was loaded again, or another one, stays until that is left.
 */
export async function sweepUntouched(
  app: Desk,
  shelf: Shelf,
  here: string | null,
  isHeld: (id: string) => Promise<boolean> = isHeldElsewhere,
): Promise<void> {
  for (const { id, began } of untouchedOn(shelf)) {
    if (id === here && app.store.phrase(id)?.revision === began) {
      watchUntouched(app, { id, began });
      continue;
    }
    if (await isHeld(id)) continue;
    await forgetUntouched(app, id, began);
    clearUntouched(shelf, id);
  }
}

/** The id of the phrase that the address names; null for none. */
export function phraseHere(): string | null {
  const route = parseRoute(window.location.hash);
  return 'id' in route ? route.id : null;
}

/** Calls once when the address names a phrase for which `holds` does. */
function onRoute(holds: (here: string | null) => boolean, then: () => void): void {
  const look = () => {
    if (!holds(phraseHere())) return;
    window.removeEventListener('hashchange', look);
    then();
  };
  window.addEventListener('hashchange', look);
  // It may name it by now, and tells that only once.
  look();
}

const lockOf = (id: string) => `degreewise-untouched-${id}`;

/** Lets other windows know that this one shows it, as long as it is there. @returns ends that. */
function hold(id: string): () => void {
  // Missing on pages that are not served securely.
  const locks: LockManager | undefined = navigator.locks;
  let release: () => void = () => undefined;
  const held = new Promise<void>((resolve) => {
    release = resolve;
  });
  void locks?.request(lockOf(id), () => held);
  return release;
}

async function isHeldElsewhere(id: string): Promise<boolean> {
  const locks: LockManager | undefined = navigator.locks;
  if (locks === undefined) return false;
  return locks.request(lockOf(id), { ifAvailable: true }, async (lock) => lock === null);
}

/**
 * Takes a new phrase out of the library that nobody wrote anything in, without a word: it was never
 * anything. One that was changed, in whichever window, has another revision or a draft, and stays.
 * @returns whether it is gone.
 */
export async function forgetUntouched(
  app: Pick<App, 'store' | 'queue'>,
  id: string,
  began: Revision,
): Promise<boolean> {
  if ('draft' in app.queue.status(id) || revisionOf(app, id) !== began) return false;
  return (await app.store.remove([id])).kind === 'done';
}

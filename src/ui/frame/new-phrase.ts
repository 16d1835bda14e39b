import { STANDARD_GUITAR } from '../../core/phrase/instrument';
import { meterTicks } from '../../core/phrase/time';
import { PHRASE_VERSION, type Phrase } from '../../core/phrase/types';
import type { Revision, StoredPhrase } from '../../storage/types';
import { titleOf } from '../shared/facts';
import { refusalInWords } from '../shared/save-words';
import type { App } from './app-context';
import { revisionOf } from './draft';
import { childOf } from './keep-as-new';
import { parseRoute } from './route';
import { navigate } from './use-route';

const METER = { beats: 4, beatType: 4 } as const;
const TEMPO = { bpm: 100, unit: 'quarter' } as const;

/**
 * One empty bar in C major, for the instrument and at the tempo that the person wrote for last; the
 * phrases that came along do not count.
 */
export function emptyPhrase(
  app: Pick<App, 'newId' | 'now'>,
  phrases: readonly StoredPhrase[],
): Phrase {
  const last = phrases
    .filter((p) => !p.sample)
    .map((p) => p.phrase)
    .sort((a, b) => a.meta.modified.localeCompare(b.meta.modified))
    .at(-1);
  const now = app.now();
  return {
    format: 'degreewise-phrase',
    version: PHRASE_VERSION,
    id: app.newId(),
    parent: null,
    meta: { title: '', tags: [], created: now, modified: now },
    instrument: last?.instrument ?? STANDARD_GUITAR,
    key: { tonic: { letter: 'C', alter: 0 }, mode: 'major' },
    tempo: last?.tempo ?? TEMPO,
    feel: { kind: 'straight' },
    pickup: 0,
    bars: [{ meter: METER }],
    length: meterTicks(METER),
    chords: [],
    voices: [{ events: [], tuplets: [] }],
    marks: [],
  };
}

/** Lays a copy of a phrase into the library, which knows where it comes from, and opens it for writing. */
export async function writeCopy(app: App, phrase: Phrase): Promise<void> {
  const title = phrase.meta.title.trim();
  const copy = childOf(app, phrase, phrase, title === '' ? '' : `${title} (copy)`);
  const saved = await app.store.save(copy, null);
  if (saved.kind !== 'saved') {
    app.notices.trouble('The copy could not be made.', refusalInWords(saved));
    return;
  }
  navigate({ page: 'write', id: copy.id, query: {} });
  app.notices.done(`This is a copy of “${titleOf(phrase)}”; the phrase itself stays as it is.`);
}

/** Lays an empty phrase into the library and opens it for writing. */
export async function writeNewPhrase(app: App): Promise<void> {
  const phrase = emptyPhrase(app, app.store.snapshot().phrases);
  const saved = await app.store.save(phrase, null);
  if (saved.kind !== 'saved') {
    app.notices.trouble('The new phrase could not be begun.', refusalInWords(saved));
    return;
  }
  navigate({ page: 'write', id: phrase.id, query: {} });
  const began = saved.stored.revision;
  onLeaving(phrase.id, () => void forgetUntouched(app, phrase.id, began));
}

/** Calls once the address names another phrase, or none. */
function onLeaving(id: string, left: () => void): void {
  const look = () => {
    const route = parseRoute(window.location.hash);
    if ('id' in route && route.id === id) return;
    window.removeEventListener('hashchange', look);
    left();
  };
  // The event of going there is still to come.
  window.addEventListener('hashchange', look);
}

/**
 * Takes a new phrase out of the library that nobody wrote anything in, without a word: it was never
 * anything. One that was changed, in whichever window, has another revision or a draft, and stays.
 */
export async function forgetUntouched(
  app: Pick<App, 'store' | 'queue'>,
  id: string,
  began: Revision,
): Promise<void> {
  if ('draft' in app.queue.status(id) || revisionOf(app, id) !== began) return;
  await app.store.remove([id]);
}

import { useState, useSyncExternalStore } from 'react';
import type { Collection } from '../../core/library/collection';
import { foldText } from '../../core/library/fold';
import { newSearch, type SavedSearch, sameAsked } from '../../core/library/saved-search';
import { COLLECTIONS, SEARCHES } from '../../io/kinds/kinds';
import { useApp } from '../frame/app-context';
import { addressOf } from '../frame/route';
import type { Query } from '../shared/query';
import { refusalInWords } from '../shared/save-words';

/** Saved questions by title, and collections, the one changed last first. */
export function useKept(): {
  readonly saved: readonly SavedSearch[];
  readonly collections: readonly Collection[];
} {
  const { store } = useApp();
  const subscribe = (changed: () => void) => store.subscribe(changed);
  const searches = useSyncExternalStore(subscribe, () => store.of(SEARCHES).all());
  const stored = useSyncExternalStore(subscribe, () => store.of(COLLECTIONS).all());
  const saved = searches
    .map((s) => s.value)
    .sort((a, b) => a.meta.title.localeCompare(b.meta.title, 'en', { numeric: true }));
  const collections = stored
    .map((s) => s.value)
    .filter((c) => c.meta.title.trim() !== '')
    .sort((a, b) => b.meta.modified.localeCompare(a.meta.modified));
  return { saved, collections };
}

/** So many collections are shown beside the field; all are on their page. */
const MOST = 24;

/** Collections and saved questions as places to look; nothing where there are none. */
export function KeptPlaces(props: {
  readonly kept: ReturnType<typeof useKept>;
  /** What is asked now, as the address has it. */
  readonly asked: Query;
}) {
  const { kept, asked } = props;
  const { saved, collections } = kept;
  if (saved.length + collections.length === 0) return null;
  const places = [
    ...collections.slice(0, MOST).map((c) => {
      const title = foldText(c.meta.title).replaceAll(/["\\]/gu, '\\$&');
      return { id: c.id, title: c.meta.title, query: { find: `in:"${title}"` } };
    }),
    ...saved.map((s) => {
      const title = s.meta.title.trim() === '' ? 'Untitled' : s.meta.title;
      // What is not asked is not there.
      return { id: s.id, title, query: s.asked as Query };
    }),
  ];
  return (
    <details open={places.some((p) => sameAsked(p.query, asked)) || undefined}>
      <summary>Collections and saved questions</summary>
      <ul className="kept-places">
        {places.map((p) => (
          <li key={p.id}>
            <a
              className="button"
              aria-current={sameAsked(p.query, asked) ? 'true' : undefined}
              href={addressOf({ page: 'library', query: p.query })}
            >
              {p.title}
            </a>
          </li>
        ))}
        <li>
          <a className="kept-all" href={addressOf({ page: 'collections', query: {} })}>
            See and change them
          </a>
        </li>
      </ul>
    </details>
  );
}

/** Keeps what is asked under a title; nothing where nothing is asked, or it is kept already. */
export function KeepQuestion(props: {
  readonly asked: Query;
  readonly saved: readonly SavedSearch[];
}) {
  const { asked, saved } = props;
  const app = useApp();
  const [title, setTitle] = useState<string | null>(null);
  const nothing = Object.entries(asked).every(([name, value]) => value === '' || name === 'order');
  if (nothing || saved.some((s) => sameAsked(s.asked, asked))) return null;
  const keep = async () => {
    const all = app.store.of(SEARCHES);
    const called = (title ?? '').trim();
    const made = newSearch(asked, { id: app.newId(), now: app.now(), title: called });
    setTitle(null);
    const kept = await all.save(made, null);
    if (kept.kind !== 'saved') {
      const why = kept.kind === 'conflict' ? [] : refusalInWords(kept);
      app.notices.trouble('The question was not kept.', why);
      return;
    }
    app.notices.done(`“${called}” is kept.`, {
      label: 'Undo',
      run: () => void all.remove([made.id]),
    });
  };
  if (title === null) {
    return (
      <button type="button" onClick={() => setTitle(asked.find?.slice(0, 500) ?? '')}>
        Keep this question …
      </button>
    );
  }
  return (
    <form
      className="keep-question"
      onSubmit={(e) => {
        e.preventDefault();
        void keep();
      }}
    >
      <label>
        <span>Title of the question</span>
        <input
          type="text"
          value={title}
          maxLength={500}
          ref={(field) => {
            if (field !== null && !field.form?.contains(document.activeElement)) field.select();
          }}
          onChange={(e) => setTitle(e.target.value)}
          onKeyDown={(e) => {
            if (e.key === 'Escape') setTitle(null);
          }}
        />
      </label>
      <button type="submit" disabled={title.trim() === ''}>
        Keep it
      </button>
      <button type="button" onClick={() => setTitle(null)}>
        Leave it
      </button>
    </form>
  );
}

import { useState, useSyncExternalStore } from 'react';
import type { SavedSearch } from '../../core/library/saved-search';
import { SEARCHES } from '../../io/kinds/kinds';
import { useApp } from '../frame/app-context';
import { removeThings } from '../frame/keep-and-remove';
import { addressOf } from '../frame/route';
import type { Query } from '../shared/query';
import { refusalInWords } from '../shared/save-words';

/** Every question that was kept, by title; nothing where there is none. */
export function SavedQuestions() {
  const { store } = useApp();
  const stored = useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => store.of(SEARCHES).all(),
  );
  if (stored.length === 0) return null;
  const all = stored
    .map((s) => s.value)
    .sort((a, b) => a.meta.title.localeCompare(b.meta.title, 'en', { numeric: true }));
  return (
    <section aria-labelledby="saved-questions">
      <h2 id="saved-questions">Saved questions</h2>
      <p>What you asked the library and kept. They are also offered in the field that finds.</p>
      <ul className="row-list">
        {all.map((s) => (
          <Row key={s.id} saved={s} />
        ))}
      </ul>
    </section>
  );
}

function Row({ saved }: { readonly saved: SavedSearch }) {
  const app = useApp();
  const [typed, setTyped] = useState<string | null>(null);
  const { title } = saved.meta;
  const asked = askedText(saved.asked);
  const rename = async () => {
    const { store } = app;
    const all = store.of(SEARCHES);
    const meta = { ...saved.meta, title: typed?.trim() ?? title, modified: app.now() };
    setTyped(null);
    const kept = await all.save({ ...saved, meta }, all.get(saved.id)?.revision ?? null);
    if (kept.kind === 'saved') return;
    const why = kept.kind === 'conflict' ? [] : refusalInWords(kept);
    app.notices.trouble('The title was not kept.', why);
  };
  return (
    <li>
      {typed === null ? (
        <a href={addressOf({ page: 'library', query: saved.asked as Query })}>
          {title.trim() === '' ? 'Untitled' : title}
        </a>
      ) : (
        <form
          onSubmit={(e) => {
            e.preventDefault();
            void rename();
          }}
        >
          <input
            type="text"
            aria-label="Title of the question"
            value={typed}
            maxLength={500}
            ref={focusOnce}
            onChange={(e) => setTyped(e.target.value)}
            onKeyDown={(e) => {
              if (e.key === 'Escape') setTyped(null);
            }}
          />
          <button type="submit">Keep the title</button>
        </form>
      )}
      <code className="quiet">{asked}</code>
      {typed === null && (
        <button type="button" onClick={() => setTyped(title)}>
          Rename <span className="unseen">{title}</span>
        </button>
      )}
      <button
        type="button"
        onClick={() => void removeThings(app, [{ kind: SEARCHES, id: saved.id }])}
      >
        Remove <span className="unseen">{title}</span>
      </button>
    </li>
  );
}

/** Whoever asked for the field goes on in it. */
function focusOnce(field: HTMLInputElement | null): void {
  if (field !== null && document.activeElement !== field) field.focus();
}

const WORDS: Readonly<Record<Exclude<keyof SavedSearch['asked'], 'find'>, string>> = {
  like: 'more like a phrase',
  tags: 'tags',
  key: 'key',
  chord: 'chord',
  levels: 'level',
  degrees: 'degrees',
  order: 'order',
};

/** A question in one line. */
export function askedText(asked: SavedSearch['asked']): string {
  const parts = Object.entries(asked).map(([name, value]) => {
    if (name === 'find') return value;
    const word = WORDS[name as keyof typeof WORDS];
    return name === 'like' ? word : `${word} ${plain(value)}`;
  });
  return parts.join('; ');
}

function plain(value: string): string {
  try {
    return decodeURIComponent(value).replaceAll(',', ', ');
  } catch {
    return value;
  }
}

import { useMemo, useState } from 'react';
import { LONGEST_TAG, retagged } from '../../../core/library/bulk';
import { choicesOf } from '../../../core/library/choices';
import { foldText } from '../../../core/library/fold';
import { type App, useApp, useLibrary, usePageTitle } from '../../frame/app-context';
import { changeBack, changeEach } from '../../frame/change-together';
import type { Changed } from '../../frame/edits';
import { addressOf } from '../../frame/route';
import { plainLine } from '../../shared/plain-text';
import { count } from '../../shared/words';
import { useFacts } from '../use-facts';
import '../../shared/pages.css';
import './tags.css';

/** `#/tags`: every tag of the library, renamed, merged or taken away everywhere at once. */
export function TagsPage() {
  usePageTitle('Tags');
  const { phrases } = useLibrary();
  const { facts, reading } = useFacts(phrases);
  const { tags } = useMemo(() => choicesOf(facts), [facts]);
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const here = tags.filter((t) => chosen.has(t.tag));
  const toggle = (tag: string, on: boolean) => {
    const next = new Set(chosen);
    if (on) next.add(tag);
    else next.delete(tag);
    setChosen(next);
  };
  return (
    <article className="page">
      <p className="way-back">
        <a href={addressOf({ page: 'library', query: {} })}>Library</a>
      </p>
      <header>
        <h1>Tags</h1>
        <p>
          Choose one to give it another name everywhere, or several to make one of them. Capitals
          and accents do not tell tags apart.
        </p>
      </header>
      {reading !== null && (
        <p role="status">
          Reading the phrases: {reading.done} of {reading.total}
        </p>
      )}
      {reading === null && tags.length === 0 && <p>No phrase has a tag yet.</p>}
      {reading === null && here.length > 0 && (
        <Rename
          key={here.map((t) => t.tag).join('\n')}
          tags={here.map((t) => t.tag)}
          ids={holdersOf(
            here.map((t) => t.tag),
            facts,
          )}
          onDone={() => setChosen(new Set())}
        />
      )}
      <ul className="tag-list">
        {tags.map(({ tag, count: many }) => (
          <li key={tag}>
            <label>
              <input
                type="checkbox"
                checked={chosen.has(tag)}
                onChange={(e) => toggle(tag, e.target.checked)}
              />
              <span>{tag}</span>
            </label>
            <a href={addressOf({ page: 'library', query: { tags: encodeURIComponent(tag) } })}>
              {count(many, 'phrase')} <span className="unseen">with {tag}</span>
            </a>
          </li>
        ))}
      </ul>
    </article>
  );
}

function holdersOf(
  tags: readonly string[],
  facts: readonly { readonly id: string; readonly tags: readonly string[] }[],
): readonly string[] {
  const wanted = new Set(tags.map(foldText));
  return facts.filter((f) => f.tags.some((t) => wanted.has(foldText(t)))).map((f) => f.id);
}

async function back(app: App, changed: readonly Changed[]): Promise<void> {
  const left = await changeBack(app, changed);
  if (left !== null) app.notices.trouble('Not all of it could be taken back.', left);
}

/** What becomes of the chosen tags; nothing happens before a button is pressed. */
function Rename(props: {
  readonly tags: readonly string[];
  /** Of the phrases that have one of them. */
  readonly ids: readonly string[];
  readonly onDone: () => void;
}) {
  const { tags, ids, onDone } = props;
  const app = useApp();
  const [name, setName] = useState(tags[0] ?? '');
  const [first, second] = tags;
  const become = async (to: string) => {
    onDone();
    const { changed, refused } = await changeEach(app, ids, (p) => retagged(p, tags, to), {
      command: 'library.tags',
      label: 'the tags',
    });
    if (refused !== null) app.notices.trouble('Not every tag was changed.', refused);
    if (changed.length === 0) return;
    const quoted = tags.map((t) => `“${t}”`);
    const named = [quoted.slice(0, -1).join(', '), quoted.at(-1)]
      .filter((t) => t !== '')
      .join(' and ');
    const are = tags.length === 1 ? 'is' : 'are';
    const what = to === '' ? `${named} taken away from` : `${named} ${are} now “${to}” in`;
    app.notices.done(`${what} ${count(changed.length, 'phrase')}.`, {
      label: 'Undo',
      run: () => void back(app, changed),
    });
  };
  const to = name.trim().replaceAll(/\s+/gu, ' ');
  return (
    <form
      className="tag-change"
      onSubmit={(e) => {
        e.preventDefault();
        void become(to);
      }}
    >
      <label>
        <span>
          {second === undefined ? `“${first}” becomes` : `These ${tags.length} tags become`}
        </span>
        <input
          type="text"
          value={name}
          maxLength={LONGEST_TAG}
          onChange={(e) => setName(plainLine(e.target.value))}
        />
      </label>
      <button
        type="submit"
        className="primary"
        disabled={to === '' || to.includes(',') || (second === undefined && to === first)}
      >
        {second === undefined ? 'Rename it' : 'Make them one'}
      </button>
      <button type="button" onClick={() => void become('')}>
        Take {second === undefined ? 'it' : 'them'} away everywhere
      </button>
      <p className="quiet" role="status">
        In {count(ids.length, 'phrase')}.{to.includes(',') && ' A comma parts tags: leave it out.'}
      </p>
    </form>
  );
}

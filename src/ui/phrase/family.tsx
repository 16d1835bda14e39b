import { useId, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { useLibrary } from '../frame/app-context';
import { PhraseSelect } from '../frame/phrase-select';
import { addressOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { titleOf } from '../shared/facts';

/** Where the phrase comes from, what was made of it, and with which other it can be compared. */
export function Family({ phrase }: { readonly phrase: Phrase }) {
  const { phrases } = useLibrary();
  const all = useMemo(() => phrases.map((p) => p.phrase), [phrases]);
  const parent = all.find((p) => p.id === phrase.parent);
  const children = useMemo(
    () => all.filter((p) => p.parent === phrase.id).sort(byTitle),
    [all, phrase.id],
  );
  return (
    <section aria-labelledby="family" className="family">
      <h2 id="family">Beside other phrases</h2>
      {phrase.parent === null ? null : (
        <p>
          Made from{' '}
          {parent === undefined ? (
            'a phrase that is no longer in the library.'
          ) : (
            <>
              <PhraseLink phrase={parent} />. <CompareLink a={parent} b={phrase} />
            </>
          )}
        </p>
      )}
      {children.length === 0 ? null : (
        <>
          <p>Made from this one:</p>
          <ul>
            {children.map((c) => (
              <li key={c.id}>
                <PhraseLink phrase={c} />. <CompareLink a={phrase} b={c} />
              </li>
            ))}
          </ul>
        </>
      )}
      {all.length > 1 && <CompareWith phrase={phrase} />}
    </section>
  );
}

function byTitle(a: Phrase, b: Phrase): number {
  return titleOf(a).localeCompare(titleOf(b), 'en', { numeric: true });
}

function PhraseLink({ phrase }: { readonly phrase: Phrase }) {
  return <a href={addressOf({ page: 'phrase', id: phrase.id, query: {} })}>{titleOf(phrase)}</a>;
}

function CompareLink({ a, b }: { readonly a: Phrase; readonly b: Phrase }) {
  return (
    <a href={addressOf({ page: 'compare', a: a.id, b: b.id, query: {} })}>
      Compare the two
      <span className="unseen">
        , {titleOf(a)} and {titleOf(b)}
      </span>
    </a>
  );
}

function CompareWith({ phrase }: { readonly phrase: Phrase }) {
  const id = useId();
  const [chosen, setChosen] = useState<string | null>(null);
  return (
    <form
      className="compare-with"
      onSubmit={(e) => {
        e.preventDefault();
        if (chosen === null) return;
        navigate({ page: 'compare', a: phrase.id, b: chosen, query: {} });
      }}
    >
      <label htmlFor={id}>Compare with</label>
      <PhraseSelect id={id} value={chosen} onChange={setChosen} except={phrase.id} />
      <button type="submit" aria-disabled={chosen === null}>
        Compare
      </button>
    </form>
  );
}

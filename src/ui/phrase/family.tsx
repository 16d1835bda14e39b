import { useId, useMemo, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { PhraseEntry } from '../../storage/types';
import { useApp, useLibrary } from '../frame/app-context';
import { PhraseSelect } from '../frame/phrase-select';
import { addressOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import { nameOf } from '../shared/facts';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';

const FromParts = partOnDemand(
  onDemand('What it is made of', () =>
    import('../frame/made-of/from-parts').then((m) => m.FromParts),
  ),
);

/** What the phrase is made of, where it comes from, what was made of it, and with which other it can be compared. */
export function Family({ phrase }: { readonly phrase: Phrase }) {
  const { phrases } = useLibrary();
  const { store } = useApp();
  const parent = phrase.parent === null ? null : store.phrase(phrase.parent);
  const me: Named = { id: phrase.id, identity: { title: phrase.meta.title } };
  const children = useMemo(
    () => phrases.filter((p) => p.identity.parent === phrase.id).sort(byTitle),
    [phrases, phrase.id],
  );
  return (
    <>
      {phrase.parts === undefined ? null : <FromParts phrase={phrase} />}
      <section aria-labelledby="family" className="family">
        <h2 id="family">Beside other phrases</h2>
        {phrase.parent === null ? null : (
          <p>
            Made from{' '}
            {parent === null ? (
              'a phrase that is no longer in the library.'
            ) : (
              <>
                <PhraseLink phrase={parent} />. <CompareLink a={parent} b={me} />
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
                  <PhraseLink phrase={c} />. <CompareLink a={me} b={c} />
                </li>
              ))}
            </ul>
          </>
        )}
        <p>
          <a className="alone" href={addressOf({ page: 'versions', id: phrase.id, query: {} })}>
            Earlier versions of this phrase
          </a>
        </p>
        {phrases.length > 1 && <CompareWith phrase={phrase} />}
      </section>
    </>
  );
}

/** What is known of a phrase without reading it. */
type Named = Pick<PhraseEntry, 'id'> & { readonly identity: { readonly title: string } };

const ALPHABET = new Intl.Collator('en', { numeric: true });

function byTitle(a: Named, b: Named): number {
  return ALPHABET.compare(titleOf(a), titleOf(b));
}

const titleOf = (p: Named): string => nameOf(p.identity);

function PhraseLink({ phrase }: { readonly phrase: Named }) {
  return <a href={addressOf({ page: 'phrase', id: phrase.id, query: {} })}>{titleOf(phrase)}</a>;
}

function CompareLink({ a, b }: { readonly a: Named; readonly b: Named }) {
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

import type { ReactNode } from 'react';
import type { StoreProblem } from '../../storage/types';
import { UNREAD_WORDS } from '../shared/unread-words';
import { useLibrary, usePhrase } from './app-context';
import { type Draft, useDraft } from './draft';
import { letKeysGo } from './keys-ahead';
import { OpeningPage } from './opening-library';
import { addressOf } from './route';

/** Shows a page of one phrase, or why there is none to show. */
export function PhraseOrReason(props: {
  readonly id: string;
  readonly children: (draft: Draft) => ReactNode;
}) {
  const { state, problems } = useLibrary();
  const known = usePhrase(props.id) !== null;
  const draft = useDraft(props.id);
  if (draft !== null) return props.children(draft);
  if (state === 'opening') return <OpeningPage />;
  if (known) return <p role="status">Opening the phrase …</p>;
  // The key of a phrase is its id.
  return <NotShown problem={problems.find(({ key }) => key === props.id) ?? null} />;
}

/**
 * Why a phrase is not shown.
 * @param problem What is wrong with its record, where it has one: it is not said to be gone then.
 */
export function NotShown({ problem }: { readonly problem: StoreProblem | null }) {
  const library = addressOf({ page: 'library', query: {} });
  if (problem !== null) {
    return (
      <section className="page" ref={letKeysGo}>
        <h1>This phrase cannot be read</h1>
        <p>
          {problem.title ?? 'It'} {UNREAD_WORDS[problem.kind]}
          {problem.kind === 'too new' ? ': load this page again to get that' : ''}. It stays as it
          is; what is stored can be saved in the library.
        </p>
        <p>
          <a className="button" href={library}>
            Go to the library
          </a>
        </p>
      </section>
    );
  }
  return (
    <section className="page" ref={letKeysGo}>
      <h1>This phrase is not here</h1>
      <p>It may have been removed, or it is in the library of another browser or device.</p>
      <p>
        <a className="button" href={library}>
          Go to the library
        </a>{' '}
        <a className="button" href={addressOf({ page: 'removed', query: {} })}>
          See what was removed
        </a>
      </p>
    </section>
  );
}

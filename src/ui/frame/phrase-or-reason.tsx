import type { ReactNode } from 'react';
import { PHRASES } from '../../io/kinds/kinds';
import { useLibrary, usePhrase } from './app-context';
import { type Draft, useDraft } from './draft';
import { NotHere } from './not-here';
import { OpeningPage } from './opening-library';
import { addressOf } from './route';

/** Shows a page of one phrase, or why there is none to show. */
export function PhraseOrReason(props: {
  readonly id: string;
  readonly children: (draft: Draft) => ReactNode;
}) {
  const { state } = useLibrary();
  const known = usePhrase(props.id) !== null;
  const draft = useDraft(props.id);
  if (draft !== null) return props.children(draft);
  if (state === 'opening') return <OpeningPage />;
  if (known) return <p role="status">Opening the phrase …</p>;
  return (
    <NotHere kind={PHRASES} id={props.id}>
      <p>
        <a className="button" href={addressOf({ page: 'library', query: {} })}>
          Go to the library
        </a>{' '}
        <a className="button" href={addressOf({ page: 'removed', query: {} })}>
          See what was removed
        </a>
      </p>
    </NotHere>
  );
}

import type { ReactNode } from 'react';
import type { AnyKind } from '../../io/kinds/kind';
import { keyOf } from '../../storage/record';
import type { StoreProblem } from '../../storage/types';
import { UNREAD_WORDS } from '../shared/unread-words';
import { useLibrary, usePageTitle } from './app-context';
import { letKeysGo } from './keys-ahead';
import { addressOf } from './route';

/** The page of something that the library has not, or cannot read. */
export function NotHere(props: {
  readonly kind: AnyKind;
  readonly id: string;
  /** Where to go instead. */
  readonly children?: ReactNode;
}) {
  const { kind, id, children } = props;
  const { problems } = useLibrary();
  return <NotShown kind={kind} problem={problemOf(problems, kind, id)} others={children} />;
}

/** What is wrong with the record of a thing, where it has one. */
export function problemOf(
  problems: readonly StoreProblem[],
  kind: AnyKind,
  id: string,
): StoreProblem | null {
  const key = keyOf(kind, id);
  return problems.find((p) => p.key === key) ?? null;
}

/**
 * Why something is not shown.
 * @param problem What is wrong with its record, where it has one: it is not said to be gone then.
 * @param others Where else to look for what is gone.
 */
export function NotShown(props: {
  readonly kind: AnyKind;
  readonly problem: StoreProblem | null;
  readonly others?: ReactNode;
}) {
  const { kind, problem, others } = props;
  const heading = `This ${kind.noun} ${problem === null ? 'is not here' : 'cannot be read'}`;
  usePageTitle(heading);
  return (
    <section className="page" ref={letKeysGo}>
      <h1>{heading}</h1>
      {problem === null ? (
        <>
          <p>It may have been removed, or it is in the library of another browser or device.</p>
          {others}
        </>
      ) : (
        <>
          <p>
            {problem.title ?? 'It'} {UNREAD_WORDS[problem.kind]}
            {problem.kind === 'too new' ? ': load this page again to get that' : ''}. It stays as it
            is; what is stored can be saved in the library.
          </p>
          <p>
            <a className="button" href={addressOf({ page: 'library', query: {} })}>
              Go to the library
            </a>
          </p>
        </>
      )}
    </section>
  );
}

import { useApp } from '../../frame/app-context';
import type { ImportState, LibraryProgress } from '../../frame/importer';
import { count } from '../../shared/words';

const DOING: Readonly<Record<LibraryProgress['doing'], string>> = {
  checking: 'Checking',
  'bringing in': 'Bringing in',
};

/** How far the reading of files has come, and the way to stop it. */
export function Reading(props: {
  readonly state: Extract<ImportState, { readonly kind: 'reading' }>;
}) {
  const { importer } = useApp();
  const { state } = props;
  return (
    <section className="import" aria-label="Bringing phrases in">
      <p role="status">
        {state.library === null ? 'Reading' : DOING[state.library.doing]} {state.name}
        {state.total > 1 && `, file ${state.done + 1} of ${state.total}`} …
      </p>
      {state.library === null ? (
        <progress max={state.total} value={state.done} aria-label="Files read" />
      ) : (
        <>
          <progress max={1} value={state.library.part} aria-label="Of the file" />
          <p className="quiet">{count(state.library.entries, 'phrase')}</p>
        </>
      )}
      <button type="button" onClick={importer.stop}>
        Stop
      </button>
    </section>
  );
}

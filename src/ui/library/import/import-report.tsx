import { useSyncExternalStore } from 'react';
import { useApp } from '../../frame/app-context';
import type { LibraryProgress } from '../../frame/importer';
import { onDemand } from '../../shared/on-demand';
import { partOnDemand } from '../../shared/part-on-demand';
import { count } from '../../shared/words';

const Report = partOnDemand(
  onDemand('What is said of the files', () => import('./report').then((m) => m.Report)),
);

const DOING: Readonly<Record<LibraryProgress['doing'], string>> = {
  checking: 'Checking',
  'bringing in': 'Bringing in',
};

/** What is being read, and then what came in and what did not. */
export function ImportReport() {
  const app = useApp();
  const { importer } = app;
  const state = useSyncExternalStore(importer.subscribe, importer.state);
  if (state.kind === 'idle') return null;
  if (state.kind === 'reading') {
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
  return <Report files={state.files} />;
}

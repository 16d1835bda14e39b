import { useSyncExternalStore } from 'react';
import { useApp } from '../../frame/app-context';
import { onDemand } from '../../shared/on-demand';
import { partOnDemand } from '../../shared/part-on-demand';

const Report = partOnDemand(
  onDemand('What is said of the files', () => import('./report').then((m) => m.Report)),
);

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
          Reading {state.name}
          {state.total > 1 && `, file ${state.done + 1} of ${state.total}`} …
        </p>
        <progress max={state.total} value={state.done} aria-label="Files read" />
        <button type="button" onClick={importer.stop}>
          Stop
        </button>
      </section>
    );
  }
  return <Report files={state.files} />;
}

import { useSyncExternalStore } from 'react';
import { useApp } from '../../frame/app-context';
import { onDemand } from '../../shared/on-demand';
import { partOnDemand } from '../../shared/part-on-demand';

const Reading = partOnDemand(
  onDemand('What is said while files are read', () => import('./reading').then((m) => m.Reading)),
);

const Report = partOnDemand(
  onDemand('What is said of the files', () => import('./report').then((m) => m.Report)),
);

/** What is being read, and then what came in and what did not. */
export function ImportReport() {
  const { importer } = useApp();
  const state = useSyncExternalStore(importer.subscribe, importer.state);
  if (state.kind === 'idle') return null;
  return state.kind === 'reading' ? <Reading state={state} /> : <Report files={state.files} />;
}

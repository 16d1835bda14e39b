import { useLibrary } from '../frame/app-context';
import { onDemand } from '../shared/on-demand';
import { partOnDemand } from '../shared/part-on-demand';

/** Words for what seldom happens: fetched ahead with all the rest, or when they are needed. */
const StatusWords = partOnDemand(
  onDemand('What is to be said of the library', () =>
    import('./status-words').then((m) => m.StatusWords),
  ),
);

/** What the reader must know about the library itself; nothing while all is well. */
export function LibraryStatus() {
  const { state, lasting, mishap, copy } = useLibrary();
  const well = lasting && mishap === null && (copy === 'none' || copy === 'whole');
  if (state === 'opening' || (state === 'ready' && well)) return null;
  return <StatusWords />;
}

import type { LibraryStore } from '../../../storage/types';
import { createImporter, type Importer } from '../../frame/importer';
import { workerReader } from './worker-reader';

/** What brings files in, reading them away from the page. */
export function workerImporter(store: LibraryStore, now: () => string): Importer<File> {
  return createImporter(store, () => workerReader(now));
}

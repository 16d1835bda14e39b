import { type FileOutcome, newThings } from '../../frame/importer';
import { countOf } from '../../shared/count-of';
import { count } from '../../shared/words';

/** One line for the whole import. */
export function summaryOf(files: readonly FileOutcome[]): string {
  const failed = files.filter((f) => f.kind === 'out').length;
  const things = newThings(files);
  const came =
    things.length === 0 ? 'Nothing new came in' : `${countOf(things)} came into the library`;
  if (failed === 0) return `${came}.`;
  if (failed === files.length) {
    return files.length === 1
      ? 'The file was not brought in; the library is as it was.'
      : `None of the ${files.length} files was brought in; the library is as it was.`;
  }
  return `${came}; ${count(failed, 'file')} did not.`;
}

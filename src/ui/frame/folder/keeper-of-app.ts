import type { Carrying } from '../../../io/folder/ports';
import { PHRASES } from '../../../io/kinds/kinds';
import { count } from '../../shared/words';
import type { App } from '../app-context';
import { navigate } from '../use-route';
import { FolderKeeper } from './keeper';

const keepers = new WeakMap<App['store'], FolderKeeper>();

/** The keeper of the app's library; it begins at the first call. */
export function keeperFor(app: App): FolderKeeper {
  const known = keepers.get(app.store);
  if (known !== undefined) return known;
  const { store, now } = app;
  const keeper = new FolderKeeper({ store, now, told: (done) => tell(app, done) });
  keepers.set(store, keeper);
  void keeper.start();
  return keeper;
}

/** Says what came into the library, and what is kept as both. */
function tell({ notices }: App, { lines }: Carrying): void {
  const both = lines.filter((l) => l.what === 'kept as both');
  for (const { kind, id, title } of both.slice(0, 2)) {
    const text = `“${title}” was changed here and in the folder: both are kept.`;
    const other = id.replace(/\.v-[0-9a-f]{16}$/u, '');
    if (kind !== PHRASES) {
      notices.show({ kind: 'offer', text });
      continue;
    }
    const run = () => navigate({ page: 'compare', a: other, b: id, query: {} });
    notices.show({ kind: 'offer', text, actions: [{ label: 'Look at both', run }] });
  }
  if (both.length > 2) {
    notices.show({
      kind: 'offer',
      text: `${count(both.length - 2, 'more thing')} changed here and in the folder: both versions are kept.`,
    });
  }
  const came = lines.filter((l) => l.what === 'new in the library').length;
  const changed = lines.filter((l) => l.what === 'changed in the library').length;
  const gone = lines.filter((l) => l.what === 'removed from the library').length;
  const parts = [
    came === 0 ? '' : `${came} new`,
    changed === 0 ? '' : `${changed} changed`,
    gone === 0 ? '' : `${gone} removed`,
  ].filter((p) => p !== '');
  if (parts.length > 0) notices.done(`From the folder: ${parts.join(', ')}.`);
}

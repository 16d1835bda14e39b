import { openedLater } from './opened-later';
import type { Version, VersionKeeper } from './versions';

/** Earlier versions under a name, opened at their first use: a page that only shows music does without. */
export function versionsLater(
  name: string,
  open: () => Promise<VersionKeeper> = async () =>
    (await import('./version-store')).openVersions(name),
): VersionKeeper {
  const { run, ifOpen } = openedLater(open);
  return {
    replaced: (some, now) => void run(undefined, (v) => v.replaced(some, now)),
    settled: () => run(undefined, (v) => v.settled()),
    keep: (phrase, why, now) => run(undefined, (v) => v.keep(phrase, why, now)),
    list: (id) => run<readonly Version[]>([], (v) => v.list(id)),
    forget: (ids) => void run(undefined, (v) => v.forget(ids)),
    prune: (known, before) => run(undefined, (v) => v.prune(known, before)),
    close: () => ifOpen((v) => v.close()),
  };
}

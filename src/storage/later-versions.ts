import { openedLater } from './opened-later';
import type { Version, VersionKeeper, VersionsTaken } from './versions';

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
    size: (of) => run(null, (v) => v.size(of)),
    async *texts(of) {
      const opened = await run<VersionKeeper | null>(null, (v) => v);
      if (opened === null) throw new Error('what reads earlier versions did not come');
      yield* opened.texts(of);
    },
    take: (some, now) => run<VersionsTaken>({ came: [], whole: false }, (v) => v.take(some, now)),
    withdraw: (some) => run(some.length === 0, (v) => v.withdraw(some)),
    forget: (ids) => void run(undefined, (v) => v.forget(ids)),
    prune: (known, before) => run(undefined, (v) => v.prune(known, before)),
    close: () => ifOpen((v) => v.close()),
  };
}

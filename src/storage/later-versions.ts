import type { Kind } from '../io/kinds/kind';
import { openedLater } from './opened-later';
import type { Version, VersionKeeper, VersionsTaken } from './versions';

/** Earlier versions under a name, opened at their first use: a page that only shows music does without. */
export function versionsLater(
  name: string,
  open: () => Promise<VersionKeeper> = async () =>
    (await import('./version-store')).openVersions(name),
): VersionKeeper {
  const { run, ifOpen } = openedLater(open);
  // What could not be handed over has not been kept, whatever opens afterwards.
  let lost = false;
  return {
    replaced: async (some, now) => {
      const taken = await run(false, (v) => {
        v.replaced(some, now);
        return true;
      });
      lost ||= !taken;
    },
    settled: async () => (await run(false, (v) => v.settled())) && !lost,
    keep: (kind, value, why, now) => run(undefined, (v) => v.keep(kind, value, why, now)),
    list: <T>(kind: Kind<T>, id: string) => run<readonly Version<T>[]>([], (v) => v.list(kind, id)),
    size: (of) => run(null, (v) => v.size(of)),
    async *texts(of) {
      const opened = await run<VersionKeeper | null>(null, (v) => v);
      if (opened === null) throw new Error('what reads earlier versions did not come');
      yield* opened.texts(of);
    },
    take: (some, now) => run<VersionsTaken>({ came: [], whole: false }, (v) => v.take(some, now)),
    withdraw: (some) => run(some.length === 0, (v) => v.withdraw(some)),
    forget: (keys) => void run(undefined, (v) => v.forget(keys)),
    prune: (known, before) => run(undefined, (v) => v.prune(known, before)),
    close: () => ifOpen((v) => v.close()),
  };
}

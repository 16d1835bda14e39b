import type { VersionKeeper } from './versions';

/** The recording that a phrase was caught from goes for good with it, like its earlier versions. */
export function withRecordings(versions: VersionKeeper): VersionKeeper {
  return {
    ...versions,
    forget: (ids) => {
      versions.forget(ids);
      import('./recordings')
        .then((m) => m.removeRecordings(ids))
        .catch(() => {
          // What is left over goes at rest.
        });
    },
  };
}

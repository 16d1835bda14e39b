import { PHRASES } from '../io/kinds/kinds';
import { partsOf } from './record';
import type { VersionKeeper } from './versions';

/** The recording that a phrase was caught from goes for good with it, like its earlier versions. */
export function withRecordings(versions: VersionKeeper): VersionKeeper {
  return {
    ...versions,
    forget: (keys) => {
      versions.forget(keys);
      // Phrases alone have recordings; their keys are their ids.
      const ids = keys.filter((key) => partsOf(key).name === PHRASES.name);
      if (ids.length === 0) return;
      import('./recordings')
        .then((m) => m.removeRecordings(ids))
        .catch(() => {
          // What is left over goes at rest.
        });
    },
  };
}

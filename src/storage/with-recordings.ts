import { PHRASES } from '../io/kinds/kinds';
import { partsOf } from './record';
import { openVersions } from './version-store';
import type { VersionKeeper } from './versions';

/** Opens earlier versions with which the recordings of what is deleted for good go. */
export function openWithRecordings(name: string): VersionKeeper {
  return withRecordings(openVersions(name));
}

/** The recording that a phrase was caught from goes for good with it, like its earlier versions. */
export function withRecordings(versions: VersionKeeper): VersionKeeper {
  const forget = versions.forget.bind(versions);
  return Object.assign(versions, {
    forget: (keys: readonly string[]) => {
      forget(keys);
      // Phrases alone have recordings; their keys are their ids.
      const ids = keys.filter((key) => partsOf(key).name === PHRASES.name);
      if (ids.length === 0) return;
      import('./recordings')
        .then((m) => m.removeRecordings(ids))
        .catch(() => {
          // What is left over goes at rest.
        });
    },
  });
}

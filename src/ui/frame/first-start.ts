import type { Phrase } from '../../core/phrase/types';
import type { LibraryStore } from '../../storage/types';
import { NotThere, onDemand } from '../shared/on-demand';
import { refusalInWords } from '../shared/save-words';
import type { Notices } from './notices';

/** Data beside the app, not part of its script. */
const sampleTexts = onDemand('The samples', () => import('./samples'));

/** Where things are kept, and who says what came of it. */
export interface KeepingDeps {
  readonly store: LibraryStore;
  readonly notices: Notices;
}

/** Whether the samples are still to be laid in; until then an empty library is not called empty. */
export interface FirstStart {
  readonly subscribe: (changed: () => void) => () => void;
  readonly pending: () => boolean;
  /** Lays the samples into a library that has never had any; an empty one that has is left empty. */
  readonly run: () => Promise<void>;
}

/** Pending until `run` has ended. */
export function createFirstStart(deps: KeepingDeps): FirstStart {
  let pending = true;
  const listeners = new Set<() => void>();
  return {
    subscribe: (changed) => {
      listeners.add(changed);
      return () => listeners.delete(changed);
    },
    pending: () => pending,
    run: async () => {
      try {
        await seedOnFirstStart(deps);
      } finally {
        pending = false;
        for (const changed of listeners) changed();
      }
    },
  };
}

async function seedOnFirstStart({ store, notices }: KeepingDeps): Promise<void> {
  if ((await store.opened()) !== 'ready') return;
  const { phrases, problems } = store.snapshot();
  if (phrases.length + problems.length > 0) return;
  const samples = await samplesOr(notices);
  if (samples === null) return;
  const result = await store.seedSamples(samples);
  if (result.kind === 'seeded' || result.kind === 'seeded before') return;
  notices.trouble('The samples could not be laid in.', refusalInWords(result));
}

/** The samples, or null with a notice where they cannot be fetched. */
export async function samplesOr(
  notices: KeepingDeps['notices'],
): Promise<readonly Phrase[] | null> {
  try {
    return (await sampleTexts.get()).readSamples();
  } catch (reason) {
    if (!(reason instanceof NotThere)) throw reason;
    notices.trouble(reason.message);
    return null;
  }
}

import { areVersions, type KeptVersion } from '../../core/library/versions';
import { versionsAmong } from '../../io/kinds/file-kinds';
import type { Thing } from '../../io/kinds/kind';
import { PHRASES } from '../../io/kinds/kinds';
import type { LibraryStore } from '../../storage/types';
import type { VersionName } from '../../storage/versions';
import { count } from '../shared/words';

type Store = Pick<LibraryStore, 'of' | 'versions'>;

/**
 * Earlier versions that come from a file with their phrases. They change no phrase: what goes wrong with
 * them costs an earlier version, and is told.
 */
export class VersionsIn {
  /** How many were in the file. */
  seen = 0;
  private refused = false;
  /** Those that are new here. */
  private readonly names: VersionName[] = [];

  constructor(private readonly store: Store) {}

  /**
   * Keeps what of some things is an earlier version.
   * @param renamed New ids of what came in before, by kind and id in the file.
   * @returns the other things.
   */
  async from<T extends Thing>(
    things: readonly T[],
    renamed: ReadonlyMap<string, string>,
  ): Promise<readonly T[]> {
    const [kept, others] = versionsAmong(things);
    if (kept.length === 0) return things;
    this.seen += kept.length;
    const ours = kept.map((k) => underItsPhrase(this.store, k, renamed));
    const taken = await this.store.versions?.take(ours, Date.now());
    this.names.push(...(taken?.came ?? []));
    this.refused ||= taken?.whole !== true;
    return others;
  }

  /** How many are new here. */
  get came(): number {
    return this.names.length;
  }

  /** Where the phrases do not stay either. @returns what is said where they cannot be taken back. */
  async takeBack(): Promise<readonly string[]> {
    if (this.names.length === 0 || (await this.store.versions?.withdraw(this.names)) === true)
      return [];
    const what = count(this.names.length, 'earlier version');
    return [`What had come in could not be taken back: ${what} of the file may still be here.`];
  }

  /** What is to be said, in sentences. */
  remarks(): readonly string[] {
    return this.refused
      ? ['Earlier versions of phrases did not come in: this browser could not keep them.']
      : [];
  }
}

/**
 * Where its phrase came in under another id, an earlier version follows it, unless the phrase that has the
 * id is another version of the same: what was before is then the past of both, and stays with the first.
 */
function underItsPhrase(
  store: Store,
  kept: KeptVersion,
  renamed: ReadonlyMap<string, string>,
): KeptVersion {
  const { id } = kept.phrase;
  const next = renamed.get(`${PHRASES.name} ${id}`);
  if (next === undefined) return kept;
  const [here, came] = [id, next].map((i) => store.of(PHRASES).get(i));
  if (here && came && areVersions(here.identity, came.identity)) return kept;
  return { ...kept, phrase: { ...kept.phrase, id: next } };
}

import { valueOfKept } from '../../core/library/thinning';
import { type AnyKept, areVersions } from '../../core/library/versions';
import { kindOfKept } from '../../io/kinds/file-kinds';
import type { LibraryStore } from '../../storage/types';
import type { VersionName } from '../../storage/versions';
import { count } from '../shared/words';

type Store = Pick<LibraryStore, 'of' | 'versions'>;

/**
 * Earlier versions that come from a file with what they are versions of. They change none of it: what goes wrong with
 * them costs an earlier version, and is told.
 */
export class VersionsIn {
  /** How many were in the file. */
  seen = 0;
  private refused = false;
  /** Those that are new here. */
  private readonly names: VersionName[] = [];

  constructor(private readonly store: Store) {}

  /** @param renamed New ids of what came in before, by kind and id in the file. */
  async keep(kept: readonly AnyKept[], renamed: ReadonlyMap<string, string>): Promise<void> {
    if (kept.length === 0) return;
    this.seen += kept.length;
    const ours = kept.map((k) => underItsOwn(this.store, k, renamed));
    const taken = await this.store.versions?.take(ours, Date.now());
    this.names.push(...(taken?.came ?? []));
    this.refused ||= taken?.whole !== true;
  }

  /** How many are new here. */
  get came(): number {
    return this.names.length;
  }

  /** Where the rest does not stay either. @returns what is said where they cannot be taken back. */
  async takeBack(): Promise<readonly string[]> {
    if (this.names.length === 0 || (await this.store.versions?.withdraw(this.names)) === true)
      return [];
    const what = count(this.names.length, 'earlier version');
    return [`What had come in could not be taken back: ${what} of the file may still be here.`];
  }

  /** What is to be said, in sentences. */
  remarks(): readonly string[] {
    return this.refused
      ? ['Earlier versions did not come in: this browser could not keep them.']
      : [];
  }
}

/**
 * Where what it is a version of came in under another id, an earlier version follows it, unless what has the
 * id is another version of the same: what was before is then the past of both, and stays with the first.
 * What it names follows, too.
 */
function underItsOwn(store: Store, kept: AnyKept, renamed: ReadonlyMap<string, string>): AnyKept {
  const kind = kindOfKept(kept);
  const value = valueOfKept(kept);
  const to = (name: string, id: string) => renamed.get(`${name} ${id}`) ?? id;
  const next = to(kind.name, value.id);
  const [here, came] = [value.id, next].map((i) => store.of(kind).get(i));
  const apart = next !== value.id && !(here && came && areVersions(here.identity, came.identity));
  const id = apart ? next : value.id;
  if (kept.format === 'degreewise-version')
    return apart ? { ...kept, phrase: { ...kept.phrase, id } } : kept;
  // A kind gives what it was given.
  const thing = (kind.withReferences?.(value, to) ?? value) as typeof value;
  return { ...kept, thing: { ...thing, id } };
}

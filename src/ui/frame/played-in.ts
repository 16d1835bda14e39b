import type { AsPlayed } from '../../core/heard/played';
import { areVersions } from '../../core/library/versions';
import { PHRASES } from '../../io/kinds/kinds';
import { takePlayed, withdrawPlayed } from '../../storage/recordings';
import type { LibraryStore } from '../../storage/types';

type Store = Pick<LibraryStore, 'of'>;

/**
 * How phrases were played, which comes from a file with them. It changes none of them: what goes wrong with it costs
 * how a phrase was played, and is told.
 */
export class PlayedIn {
  private refused = false;
  /** Of which phrases it is new here. */
  private readonly came: string[] = [];

  constructor(private readonly store: Store) {}

  /** @param renamed New ids of what came in before, by kind and id in the file. */
  async keep(played: readonly AsPlayed[], renamed: ReadonlyMap<string, string>): Promise<void> {
    const ours = played.flatMap((p) => ofWhatCame(this.store, p, renamed));
    try {
      this.came.push(...(await takePlayed(ours)));
    } catch {
      this.refused = true;
    }
  }

  /** Where the rest does not stay either. @returns what is said where it cannot be taken back. */
  async takeBack(): Promise<readonly string[]> {
    if (this.came.length === 0) return [];
    try {
      await withdrawPlayed(this.came);
      return [];
    } catch {
      return ['How phrases of the file were played could not be taken back.'];
    }
  }

  /** What is to be said, in sentences. */
  remarks(): readonly string[] {
    return this.refused
      ? ['How phrases were played did not come in: this browser could not keep it.']
      : [];
  }
}

/**
 * Under the id under which its phrase came in. Where what has the id here is another version of that phrase, both were
 * played so.
 */
function ofWhatCame(
  store: Store,
  played: AsPlayed,
  renamed: ReadonlyMap<string, string>,
): readonly AsPlayed[] {
  const { id } = played;
  const next = renamed.get(`${PHRASES.name} ${id}`) ?? id;
  if (next === id) return [played];
  const [here, came] = [id, next].map((i) => store.of(PHRASES).get(i));
  const both = here && came && areVersions(here.identity, came.identity);
  return [...(both ? [played] : []), { ...played, id: next }];
}

import { type Apart, apartOf } from '../../io/kinds/file-kinds';
import type { Thing } from '../../io/kinds/kind';
import type { LibraryStore } from '../../storage/types';
import type { PlayedIn } from './played-in';
import { VersionsIn } from './versions-in';

/** What comes from a file and is kept beside the library: earlier versions, and how phrases were played. */
export class BesideIn {
  private readonly versions: VersionsIn;
  /** Fetched where a file has something for it: few have, and the first page is the lighter for it. */
  private played: PlayedIn | null = null;

  /** How many of these were in the file, whether they came or not. */
  private playedSeen = 0;
  private lacking = false;

  constructor(private readonly store: Pick<LibraryStore, 'of' | 'versions'>) {
    this.versions = new VersionsIn(store);
  }

  /** Takes what is of this sort, once what it belongs to has come in. @param renamed Its new ids, by kind and id in the file. */
  async from(things: readonly Thing[], renamed: ReadonlyMap<string, string>): Promise<void> {
    const { versions, played } = apartOf(things);
    await this.versions.keep(versions, renamed);
    if (played.length === 0) return;
    this.playedSeen += played.length;
    try {
      this.played ??= new (await import('./played-in')).PlayedIn(this.store);
      await this.played.keep(played, renamed);
    } catch {
      // The part of the program did not come: the phrases have, and it is said.
      this.lacking = true;
    }
  }

  /** How many were in the file. */
  get seen(): number {
    return this.versions.seen + this.playedSeen;
  }

  /** How many earlier versions are new here. */
  get came(): number {
    return this.versions.came;
  }

  /** Where the rest does not stay either. @returns what is said where it cannot be taken back. */
  async takeBack(): Promise<readonly string[]> {
    return [...((await this.played?.takeBack()) ?? []), ...(await this.versions.takeBack())];
  }

  /** What is to be said, in sentences. */
  remarks(): readonly string[] {
    const lacking = this.lacking
      ? ['How phrases were played did not come in. Bring the file in again for that.']
      : [];
    return [...this.versions.remarks(), ...(this.played?.remarks() ?? []), ...lacking];
  }
}

/** What comes into the library itself. */
export function libraryOf<T extends Thing>(things: readonly T[]): Apart<T>['others'] {
  return apartOf(things).others;
}

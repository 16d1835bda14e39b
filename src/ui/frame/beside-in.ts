import { type Apart, apartOf } from '../../io/kinds/file-kinds';
import type { Thing } from '../../io/kinds/kind';
import type { LibraryStore } from '../../storage/types';
import { PlayedIn } from './played-in';
import { VersionsIn } from './versions-in';

/** What comes from a file and is kept beside the library: earlier versions, and how phrases were played. */
export class BesideIn {
  private readonly versions: VersionsIn;
  private readonly played: PlayedIn;

  constructor(store: Pick<LibraryStore, 'of' | 'versions'>) {
    this.versions = new VersionsIn(store);
    this.played = new PlayedIn(store);
  }

  /** Takes what is of this sort, once what it belongs to has come in. @param renamed Its new ids, by kind and id in the file. */
  async from(things: readonly Thing[], renamed: ReadonlyMap<string, string>): Promise<void> {
    const { versions, played } = apartOf(things);
    await this.versions.keep(versions, renamed);
    await this.played.keep(played, renamed);
  }

  /** How many were in the file. */
  get seen(): number {
    return this.versions.seen + this.played.seen;
  }

  /** How many earlier versions are new here. */
  get came(): number {
    return this.versions.came;
  }

  /** Where the rest does not stay either. @returns what is said where it cannot be taken back. */
  async takeBack(): Promise<readonly string[]> {
    return [...(await this.played.takeBack()), ...(await this.versions.takeBack())];
  }

  /** What is to be said, in sentences. */
  remarks(): readonly string[] {
    return [...this.versions.remarks(), ...this.played.remarks()];
  }
}

/** What comes into the library itself. */
export function libraryOf<T extends Thing>(things: readonly T[]): Apart<T>['others'] {
  return apartOf(things).others;
}

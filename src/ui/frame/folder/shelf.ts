import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import { type Notes, noNotes, readNotes, writeNotes } from '../../../io/folder/notes';

interface FolderDb extends DBSchema {
  folder: { key: 'chosen' | 'last'; value: { readonly handle: FileSystemDirectoryHandle } };
  notes: { key: 'notes'; value: { readonly round: number; readonly text: string } };
}

/** Which folder was chosen, and what was in step last: in a database of its own, small and rebuildable. */
export class FolderShelf {
  private round = 0;
  private notes: Notes = noNotes();

  private constructor(private readonly db: IDBPDatabase<FolderDb>) {}

  static async open(): Promise<FolderShelf> {
    const db = await openDB<FolderDb>('degreewise-folder', 1, {
      upgrade: (made) => {
        made.createObjectStore('folder');
        made.createObjectStore('notes');
      },
    });
    return new FolderShelf(db);
  }

  async chosen(): Promise<FileSystemDirectoryHandle | null> {
    return (await this.db.get('folder', 'chosen'))?.handle ?? null;
  }

  /** Remembers a folder; what was in step with another one does not count for it. */
  async choose(handle: FileSystemDirectoryHandle): Promise<void> {
    const last = (await this.db.get('folder', 'last'))?.handle;
    const same = last !== undefined && (await last.isSameEntry(handle));
    const tx = this.db.transaction(['folder', 'notes'], 'readwrite');
    await tx.objectStore('folder').put({ handle }, 'chosen');
    await tx.objectStore('folder').put({ handle }, 'last');
    if (!same) {
      await tx.objectStore('notes').delete('notes');
      this.notes = noNotes();
      this.round = 0;
    }
    await tx.done;
  }

  /** Forgets the folder; what was in step stays known, in case it is chosen again. */
  async leave(): Promise<void> {
    await this.db.delete('folder', 'chosen');
  }

  /** Forgets what was in step: the library was lost, and what it lacks was not removed. */
  async forgetNotes(): Promise<void> {
    await this.db.delete('notes', 'notes');
    this.notes = noNotes();
    this.round = 0;
  }

  /** What was in step last; another window may have gone on meanwhile. */
  async read(): Promise<Notes> {
    const kept = await this.db.get('notes', 'notes');
    if (kept === undefined) this.notes = noNotes();
    else if (kept.round !== this.round) this.notes = readNotes(kept.text);
    this.round = kept?.round ?? 0;
    return this.notes;
  }

  async keep(): Promise<void> {
    this.round += 1;
    await this.db.put('notes', { round: this.round, text: writeNotes(this.notes) }, 'notes');
  }
}

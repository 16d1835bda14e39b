import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import { type Notes, noNotes } from '../../../io/folder/notes';
import { readOlderNotes } from '../../../io/folder/older-notes';

interface FolderDb extends DBSchema {
  folder: { key: 'chosen' | 'last'; value: { readonly handle: FileSystemDirectoryHandle } };
  /** Until version 2 the notes in one text; since then only which round of them is the last. */
  notes: { key: 'notes' | 'round'; value: OlderNotes | NotesRound };
  /** The notes in blocks, each with the round in which it was written. */
  blocks: {
    key: number;
    value: { readonly block: number; readonly round: number; readonly text: string };
    indexes: { round: number };
  };
}

interface OlderNotes {
  readonly round: number;
  readonly text: string;
}

interface NotesRound {
  readonly round: number;
  /** Another one where they were forgotten meanwhile, or belong to another folder. */
  readonly since: string;
}

/** Which folder was chosen, and what was in step last: in a database of its own, small and rebuildable. */
export class FolderShelf {
  private last: NotesRound | null = null;
  private notes: Notes = noNotes();

  private constructor(private readonly db: IDBPDatabase<FolderDb>) {}

  /** @param blocked Is called where a window with an earlier program has it open, until that is closed. */
  static async open(blocked: () => void = () => {}): Promise<FolderShelf> {
    const db = await openDB<FolderDb>('degreewise-folder', 2, {
      upgrade: (made, from) => {
        if (from < 1) {
          made.createObjectStore('folder');
          made.createObjectStore('notes');
        }
        made.createObjectStore('blocks', { keyPath: 'block' }).createIndex('round', 'round');
      },
      blocked,
      // Another window makes it newer: this one lets go, and is told so at its next look.
      blocking: (_current, _blocked, event) => {
        (event.target as IDBDatabase).close();
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
    const tx = this.db.transaction(['folder', 'notes', 'blocks'], 'readwrite');
    const asked = [
      tx.objectStore('folder').put({ handle }, 'chosen'),
      tx.objectStore('folder').put({ handle }, 'last'),
      ...(same ? [] : [tx.objectStore('notes').clear(), tx.objectStore('blocks').clear()]),
    ];
    await Promise.all([...asked, tx.done]);
    if (!same) this.forgotten();
  }

  /** Forgets the folder; what was in step stays known, in case it is chosen again. */
  async leave(): Promise<void> {
    await this.db.delete('folder', 'chosen');
  }

  /** Forgets what was in step: the library was lost, and what it lacks was not removed. */
  async forgetNotes(): Promise<void> {
    const tx = this.db.transaction(['notes', 'blocks'], 'readwrite');
    await Promise.all([tx.objectStore('notes').clear(), tx.objectStore('blocks').clear(), tx.done]);
    this.forgotten();
  }

  /** What was in step last; another window may have gone on meanwhile. */
  async read(): Promise<Notes> {
    const tx = this.db.transaction(['notes', 'blocks']);
    const kept = (await tx.objectStore('notes').get('round')) as NotesRound | undefined;
    if (kept === undefined) {
      const older = (await tx.objectStore('notes').get('notes')) as OlderNotes | undefined;
      this.notes = (older && readOlderNotes(older.text)) ?? noNotes();
      this.last = null;
      return this.notes;
    }
    const known = this.last?.since === kept.since ? this.last.round : 0;
    if (known === 0) this.notes = noNotes();
    if (known !== kept.round) {
      const newer = tx
        .objectStore('blocks')
        .index('round')
        .iterate(IDBKeyRange.lowerBound(known, true));
      for await (const { value } of newer) this.notes.read([value.block, value.text]);
    }
    this.last = kept;
    return this.notes;
  }

  /** Keeps the blocks in which something changed. */
  async keep(): Promise<void> {
    // What came out of the older form is kept as a whole, once.
    const blocks = this.last === null ? this.notes.all() : this.notes.takeChanged();
    this.notes.takeChanged();
    if (blocks.length === 0) return;
    const since = this.last?.since ?? `${Date.now()}:${Math.random()}`;
    const next = { round: (this.last?.round ?? 0) + 1, since };
    const tx = this.db.transaction(['notes', 'blocks'], 'readwrite');
    try {
      const writes = blocks.map(([block, text]) => {
        return tx.objectStore('blocks').put({ block, round: next.round, text });
      });
      const older = tx.objectStore('notes').delete('notes');
      await Promise.all([...writes, older, tx.objectStore('notes').put(next, 'round'), tx.done]);
      this.last = next;
    } catch (e) {
      this.notes.giveBack(blocks);
      throw e;
    }
  }

  private forgotten(): void {
    this.notes = noNotes();
    this.last = null;
  }
}

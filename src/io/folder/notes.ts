import type { Seen } from '../../core/library/in-step/decide';

/** What is remembered of a thing between two looks. */
export interface ThingNote extends Seen {
  /** Stands for the content in the library, where it has such a number; then it need not be read. */
  readonly sum?: number;
}

/** What was read of a file; it counts while its stamp is the same. */
export interface FileNote {
  /** Size and time of change, as the folder tells them. */
  readonly stamp: string;
  /** Kind and id of what is in it; absent for what is foreign. */
  readonly key?: string;
  readonly version?: string | null;
  readonly past?: readonly string[];
  readonly ours?: boolean;
  readonly untouched?: boolean;
}

/**
 * What a device remembers of one library and one folder. It may be lost at any time: then what differs
 * is kept twice where the files do not say which version was made of which.
 */
export interface Notes {
  readonly things: Map<string, ThingNote>;
  readonly files: Map<string, FileNote>;
}

/** What is remembered of two that have never been in step. */
export function noNotes(): Notes {
  return { things: new Map(), files: new Map() };
}

/** The notes as JSON text. */
export function writeNotes({ things, files }: Notes): string {
  return JSON.stringify({ version: 1, things: [...things], files: [...files] });
}

/** The notes out of such a text; none where it cannot be read. */
export function readNotes(text: string): Notes {
  try {
    const { version, things, files } = JSON.parse(text) as {
      version: number;
      things: [string, ThingNote][];
      files: [string, FileNote][];
    };
    if (version === 1) return { things: new Map(things), files: new Map(files) };
  } catch {
    // A damaged memory is none.
  }
  return noNotes();
}

import { type FileNote, Notes, type ThingNote } from './notes';

/** The notes out of the one text in which they were kept until blocks came; null where it is none. */
export function readOlderNotes(text: string): Notes | null {
  const made = new Notes();
  try {
    const { version, things, files } = JSON.parse(text) as {
      version: number;
      things: [string, ThingNote][];
      files: [string, FileNote][];
    };
    if (version !== 1) return null;
    for (const [key, note] of things) made.setThing(key, note);
    for (const [path, note] of files) made.setFile(path, note);
  } catch {
    return null;
  }
  // What stood in it is checked as it is when it comes out of blocks.
  const checked = new Notes();
  return made.all().every((block) => checked.read(block)) ? made : null;
}

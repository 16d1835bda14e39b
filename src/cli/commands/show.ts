import { writeTextTab } from '../../io/text-tab/write/write-text-tab';
import type { Source } from '../input';
import { type ListedNote, listNotes } from '../note-list';
import { degreeView } from '../output';
import type { Shell } from '../shell';

/** Prints every phrase of a file as text tab. */
export function showSource(shell: Shell, source: Source, first: boolean): void {
  source.phrases.forEach((p, i) => {
    if (!first || i > 0) shell.print('\n');
    const style = { width: shell.width, degrees: degreeView(p), ascii: shell.ascii };
    shell.print(writeTextTab(p, style));
  });
}

/** The notes of one phrase, with where they come from. */
export interface ListedPhrase {
  readonly file: string;
  readonly title: string;
  readonly notes: readonly ListedNote[];
}

export function listSource(source: Source): readonly ListedPhrase[] {
  return source.phrases.map((p) => ({
    file: source.path,
    title: p.meta.title,
    notes: listNotes(p),
  }));
}

/**
 * One JSON document: `{ "notes": […] }` for a single phrase that was asked for by a single file, a
 * list of objects with file, title and notes otherwise.
 */
export function listText(phrases: readonly ListedPhrase[], single: boolean): string {
  const [only] = phrases;
  const value = single && only !== undefined ? { notes: only.notes } : phrases;
  return `${JSON.stringify(value, null, 2)}\n`;
}

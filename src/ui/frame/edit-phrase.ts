import { startEditing } from '../../core/edit/state';
import type { Phrase } from '../../core/phrase/types';
import type { App } from './app-context';
import type { Draft } from './draft';
import { editsOf } from './edits';

/** What is changed on the page of a phrase, as it is called when it is taken back. */
type Field = 'title' | 'style' | 'tags' | 'level' | 'notes';
export type Part = Field | 'place on the neck' | 'shape' | 'easier way' | 'chord';

/** Each of these is a step of its own; what is typed into one field goes together. */
const APART: ReadonlySet<Part> = new Set(['place on the neck', 'shape', 'easier way', 'chord']);

/** Changes a phrase in place: it is saved in turn, and can be gone back from. */
export function editPhrase(app: App, draft: Draft, next: Phrase, part: Part): void {
  editsOf(app).change(startEditing(draft.phrase), startEditing(next), {
    command: `phrase.${part}`,
    label: `the ${part}`,
    joins: !APART.has(part),
  });
}

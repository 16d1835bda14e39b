import { startEditing } from '../../../core/edit/state';
import type { Phrase } from '../../../core/phrase/types';
import { changedSince, nameOf } from '../../shared/facts';
import { refusalInWords } from '../../shared/save-words';
import type { App } from '../app-context';
import { type Changed, type ChangeNote, editsOf } from '../edits';
import { allApart, layAllAnew, marksOf, type PartsDone, takeOver } from './all-parts';
import type { PartLook } from './part-looks';

/** The phrases that parts are from. */
export const sourcesOf = (looks: readonly PartLook[]) => new Set(looks.map((l) => l.part.source));

/** '“Slow rise”', or '3 parts'. */
function named(looks: readonly PartLook[]): string {
  const [one] = looks;
  return looks.length === 1 ? `“${nameOf(one!.part)}”` : `${looks.length} parts`;
}

const were = (looks: readonly PartLook[]) => (looks.length === 1 ? 'was' : 'were');

/** The parts as their sources give them now; one step that can be undone. */
export function layAnewFrom(app: App, phrase: Phrase, looks: readonly PartLook[]): void {
  const edits = editsOf(app);
  const now = edits.phrase(phrase.id) ?? phrase;
  const { whole, done } = layAllAnew(now, marksOf(looks), (id) => edits.phrase(id));
  if (done === 0) return;
  const label = `laying ${named(looks)} anew`;
  edits.change(startEditing(now), startEditing(whole), { command: 'phrase.part', label });
  const step = edits.lastStep(phrase.id);
  app.notices.done(`${named(looks)} ${were(looks)} laid anew.`, {
    label: 'Undo',
    run: () => {
      if (edits.undoOnly(phrase.id, step) === null)
        app.notices.trouble('Nothing was taken back.', [changedSince(now)]);
    },
  });
}

/** Changes the sources as the parts were changed; all are written together, or none. */
export async function changeSources(
  app: App,
  phrase: Phrase,
  looks: readonly PartLook[],
): Promise<void> {
  const ids = sourcesOf(looks);
  const what = ids.size === 1 ? `“${nameOf(looks[0]!.part)}”` : `${ids.size} phrases`;
  const was = ids.size === 1 ? 'was' : 'were';
  const note: ChangeNote = { command: 'phrase.part', label: `the change of ${what}` };
  const edits = editsOf(app);
  let next: PartsDone | null = null;
  // Reckoned of all as they are when they are written, not as they were shown.
  const reckon = (): PartsDone | null => {
    const whole = edits.phrase(phrase.id);
    return whole === null ? null : takeOver(whole, marksOf(looks), (id) => edits.phrase(id));
  };
  const change = (p: Phrase) => {
    next ??= reckon();
    if (next === null || next.done === 0) return p;
    return p.id === phrase.id ? next.whole : (next.sources.get(p.id) ?? p);
  };
  const done = await edits.replaceAll([...ids, phrase.id], change, note);
  if (done.saved.kind !== 'saved') {
    const [conflict] = done.saved.kind === 'conflicts' ? done.saved.conflicts : [];
    const why =
      done.saved.kind === 'conflicts'
        ? conflict === undefined
          ? []
          : refusalInWords({ kind: 'conflict', conflict })
        : refusalInWords(done.saved);
    app.notices.trouble(`${what} ${was} not changed.`, why);
    return;
  }
  if (done.changed.length === 0) return;
  const left = looks.length - ((next as PartsDone | null)?.done ?? 0);
  const still =
    left === 0 ? '' : ` ${left === 1 ? 'One part differs' : `${left} parts differ`} still.`;
  app.notices.done(`${what} ${was} changed as well.${still}`, {
    label: 'Undo',
    run: () => {
      const isLast = ({ after }: Changed) => {
        const { steps, done: count } = edits.history(after.id);
        const last = steps[count - 1];
        return last?.command === note.command && last.label === note.label;
      };
      // All or none: one of them alone would no longer fit the others.
      if (!done.changed.every(isLast)) {
        app.notices.trouble(`${what} ${was} not put back.`, [
          ids.size === 1
            ? 'It, or what is made of it, was changed again since.'
            : 'One of them, or what is made of them, was changed again since.',
        ]);
        return;
      }
      for (const { after } of done.changed) edits.undo(after.id);
      app.notices.done(
        ids.size === 1 ? `${what} is as it was before.` : 'All are as they were before.',
      );
    },
  });
}

/** Lets the parts go their own way, or compares them again. */
export function setApart(app: App, phrase: Phrase, looks: readonly PartLook[], apart: boolean) {
  const edits = editsOf(app);
  const now = edits.phrase(phrase.id) ?? phrase;
  const next = allApart(now, marksOf(looks), apart);
  const part = looks.length === 1 ? `the part of ${named(looks)}` : named(looks);
  const label = apart ? `letting ${part} go` : `the look at ${named(looks)}`;
  edits.change(startEditing(now), startEditing(next), { command: 'phrase.part', label });
}

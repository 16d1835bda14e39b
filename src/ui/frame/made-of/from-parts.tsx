import { useMemo } from 'react';
import { startEditing } from '../../../core/edit/state';
import type { Phrase } from '../../../core/phrase/types';
import { barsInWords } from '../../../core/solo/propose';
import { changedSince, nameOf } from '../../shared/facts';
import { refusalInWords } from '../../shared/save-words';
import { useSettled } from '../../shared/use-settled';
import type { App } from '../app-context';
import { useApp } from '../app-context';
import { type Changed, type ChangeNote, editsOf } from '../edits';
import { usePhrasesOf } from '../phrases-of';
import { addressOf } from '../route';
import { lookAtParts, type PartLook, withApart } from './part-looks';
import './from-parts.css';

interface Props {
  readonly phrase: Phrase;
  /** Only what was changed here, for the page on which it is changed. */
  readonly changedOnly?: boolean;
}

/** What is laid again when nobody writes for so long, in milliseconds. */
const PAUSE = 400;

/** Which bars come from which phrases, and what was changed in them since. */
export function FromParts({ phrase, changedOnly = false }: Props) {
  const settled = useSettled(phrase, PAUSE);
  const ids = useMemo(
    () => [...new Set((settled.parts ?? []).flatMap((p) => (p.apart ? [] : [p.source])))],
    [settled.parts],
  );
  const { phrases, gone } = usePhrasesOf(ids);
  const looks = useMemo(() => {
    const byId = new Map(phrases?.map((p) => [p.id, p]));
    return lookAtParts(settled, (id) => (gone.includes(id) ? null : byId.get(id)));
  }, [settled, phrases, gone]);
  const shown = changedOnly ? looks.filter(wasChanged) : looks;
  if (shown.length === 0) return null;
  return (
    <section className="from-parts" aria-labelledby="from-parts">
      <h2 id="from-parts">{changedOnly ? 'Changed in a part' : 'What it is made of'}</h2>
      <ul>
        {shown.map((look) => (
          <li key={look.part.notes}>
            <Part phrase={settled} look={look} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function wasChanged({ state }: PartLook): boolean {
  return state.kind === 'edited' || state.kind === 'stuck';
}

function Part({ phrase, look }: { readonly phrase: Phrase; readonly look: PartLook }) {
  const app = useApp();
  const { part, state } = look;
  const title = nameOf(part);
  const bars = barsInWords(look);
  return (
    <>
      <p>
        {bars} from{' '}
        {state.kind === 'gone' ? (
          `“${title}”, which is no longer in the library`
        ) : (
          <a href={addressOf({ page: 'phrase', id: part.source, query: {} })}>{title}</a>
        )}
        .
      </p>
      {state.kind === 'edited' ? (
        <details>
          <summary>Changed here since. What “{title}” would become:</summary>
          <ul>
            {state.back.words.map((w) => (
              <li key={w}>{w}</li>
            ))}
          </ul>
        </details>
      ) : (
        <p className="quiet">{sentenceOf(look, title)}</p>
      )}
      <div className="buttons">
        {state.kind === 'edited' ? (
          <button type="button" onClick={() => void update(app, phrase, look)}>
            Change “{title}” as well
          </button>
        ) : null}
        {wasChanged(look) || state.kind === 'unsure' ? (
          <button type="button" onClick={() => setApart(app, phrase, look, true)}>
            Let it go its own way
            <span className="unseen">, {bars.toLowerCase()}</span>
          </button>
        ) : null}
        {(state.kind === 'unsure' || state.kind === 'stuck') && state.anew !== null ? (
          <button type="button" onClick={() => setAnew(app, phrase, look)}>
            Lay it anew from “{title}”<span className="unseen">, {bars.toLowerCase()}</span>
          </button>
        ) : null}
        {state.kind === 'apart' ? (
          <button type="button" onClick={() => setApart(app, phrase, look, false)}>
            Compare it with “{title}” again
          </button>
        ) : null}
      </div>
    </>
  );
}

function sentenceOf({ state }: PartLook, title: string): string {
  switch (state.kind) {
    case 'apart':
      return 'It goes its own way.';
    case 'as laid':
      return 'As it was laid there.';
    case 'reading':
      return 'One moment.';
    case 'stuck':
      return `Changed here since, and “${title}” cannot be changed the same way: ${state.why}. ${wayOut(state.anew, title)}`;
    case 'unsure':
      return `Whether it was changed here is not certain: ${state.why}. ${wayOut(state.anew, title)}`;
    case 'gone':
    case 'edited':
      return '';
  }
}

/** What can be done where the change cannot be taken over. */
function wayOut(anew: Phrase | null, title: string): string {
  const own = 'Let it go its own way, and it stays as it stands';
  return anew === null
    ? `${own}.`
    : `${own}; or change “${title}” itself and lay it anew, and what was changed here by hand goes.`;
}

/** The part as its source gives it now; one step that can be undone. */
function setAnew(app: App, phrase: Phrase, { part }: PartLook): void {
  const edits = editsOf(app);
  const now = edits.phrase(phrase.id) ?? phrase;
  const look = lookAtParts(now, (id) => edits.phrase(id)).find((l) => l.part.notes === part.notes);
  const state = look?.state;
  if ((state?.kind !== 'unsure' && state?.kind !== 'stuck') || state.anew === null) return;
  const label = `laying “${nameOf(part)}” anew`;
  edits.change(startEditing(now), startEditing(state.anew), { command: 'phrase.part', label });
  const step = edits.lastStep(phrase.id);
  app.notices.done(`“${nameOf(part)}” was laid anew.`, {
    label: 'Undo',
    run: () => {
      if (edits.undoOnly(phrase.id, step) === null)
        app.notices.trouble('Nothing was taken back.', [changedSince(now)]);
    },
  });
}

/** Changes the source as the part was changed; both are written together, or none. */
async function update(app: App, phrase: Phrase, { part }: PartLook): Promise<void> {
  const title = nameOf(part);
  const note: ChangeNote = { command: 'phrase.part', label: `the change of “${title}”` };
  const edits = editsOf(app);
  let next: ReadonlyMap<string, Phrase> | null = null;
  // Reckoned of both as they are when they are written, not as they were shown.
  const reckon = () => {
    const whole = edits.phrase(phrase.id);
    const looks = whole === null ? [] : lookAtParts(whole, (id) => edits.phrase(id));
    const state = looks.find((l) => l.part.notes === part.notes)?.state;
    if (state?.kind !== 'edited') return new Map<string, Phrase>();
    return new Map([state.back.source, state.back.whole].map((p) => [p.id, p]));
  };
  const change = (p: Phrase) => {
    next ??= reckon();
    return next.get(p.id) ?? p;
  };
  const done = await edits.replaceAll([part.source, phrase.id], change, note);
  if (done.saved.kind !== 'saved') {
    const [conflict] = done.saved.kind === 'conflicts' ? done.saved.conflicts : [];
    const why =
      done.saved.kind === 'conflicts'
        ? conflict === undefined
          ? []
          : refusalInWords({ kind: 'conflict', conflict })
        : refusalInWords(done.saved);
    app.notices.trouble(`“${title}” was not changed.`, why);
    return;
  }
  if (done.changed.length === 0) return;
  app.notices.done(`“${title}” was changed as well.`, {
    label: 'Undo',
    run: () => {
      const isLast = ({ after }: Changed) => {
        const { steps, done: count } = edits.history(after.id);
        const last = steps[count - 1];
        return last?.command === note.command && last.label === note.label;
      };
      // Both or none: one of them alone would no longer fit the other.
      if (!done.changed.every(isLast)) {
        app.notices.trouble(`“${title}” was not put back.`, [
          'It, or what is made of it, was changed again since.',
        ]);
        return;
      }
      for (const { after } of done.changed) edits.undo(after.id);
      app.notices.done(`“${title}” is as it was before.`);
    },
  });
}

function setApart(app: App, phrase: Phrase, { part }: PartLook, apart: boolean): void {
  const edits = editsOf(app);
  const now = edits.phrase(phrase.id) ?? phrase;
  const next = withApart(now, part, apart);
  const label = apart
    ? `letting the part of “${nameOf(part)}” go`
    : `the look at “${nameOf(part)}”`;
  edits.change(startEditing(now), startEditing(next), { command: 'phrase.part', label });
}

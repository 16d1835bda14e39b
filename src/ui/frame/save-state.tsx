import { useEffect, useState } from 'react';
import { titleOf } from '../shared/facts';
import { refusalInWords } from '../shared/save-words';
import { useApp } from './app-context';
import type { Draft } from './draft';
import { editsOf, nextSteps, redoInShort, redoWords, undoWords, useHistory } from './edits';
import { addressOf, type Route } from './route';
import { navigate } from './use-route';
import './save-state.css';

/** Whether everything is on the disk, and the way back and forward. */
export function SaveState(props: {
  /** Where this page is for another phrase; without it the page stays where it is. */
  readonly elsewhere?: (id: string) => Route;
  readonly draft: Draft;
  /** The buttons name the way only; the step is told to whoever listens. */
  readonly brief?: boolean;
  /** After going back or forward. */
  readonly onDone?: () => void;
}) {
  const { draft, brief = false, onDone, elsewhere } = props;
  const app = useApp();
  const { id } = draft.phrase;
  useOwnVersion(draft, elsewhere);
  const { undo, redo } = nextSteps(useHistory(id));
  const [edited, setEdited] = useState(false);
  if (!edited && draft.status.kind !== 'saved') setEdited(true);
  return (
    <div className="save-state">
      {/* While one writes it changes with every key, and nobody wants it read out; trouble is. */}
      <p role="status" aria-live={brief ? 'off' : 'polite'}>
        {statusText(draft, edited)}
      </p>
      {undo === null ? null : (
        <button
          type="button"
          aria-label={undoWords(undo)}
          title={undoWords(undo)}
          onClick={() => {
            editsOf(app).undo(id);
            onDone?.();
          }}
        >
          {brief ? 'Undo' : undoWords(undo)}
        </button>
      )}
      {redo === null ? null : (
        <button
          type="button"
          aria-label={brief ? redoInShort(redo) : redoWords(redo)}
          title={redoWords(redo)}
          onClick={() => {
            editsOf(app).redo(id);
            onDone?.();
          }}
        >
          {brief ? 'Do again' : redoWords(redo)}
        </button>
      )}
      <Trouble draft={draft} />
    </div>
  );
}

/**
 * Where two windows edited one phrase, this one goes on with its own version: both would only write
 * past each other again, and each time one of them would be left with another version.
 */
function useOwnVersion(draft: Draft, elsewhere: ((id: string) => Route) | undefined): void {
  const { queue, notices } = useApp();
  const { status } = draft;
  const { id } = draft.phrase;
  useEffect(() => {
    if (status.kind !== 'kept both' || elsewhere === undefined) return;
    const mine = status.mine.phrase;
    queue.dismiss(id);
    notices.show({
      kind: 'offer',
      text: `This phrase was edited in another window at the same time. Both are kept: you go on with “${titleOf(mine)}”.`,
      actions: [
        {
          label: 'Compare the two',
          run: () => navigate({ page: 'compare', a: id, b: mine.id, query: { choose: 'yes' } }),
        },
      ],
    });
    navigate(elsewhere(mine.id), 'replace');
  }, [status, elsewhere, id, queue, notices]);
}

function statusText({ status }: Draft, edited: boolean): string {
  switch (status.kind) {
    case 'saved':
      return edited ? 'Saved.' : '';
    case 'unsaved':
    case 'saving':
      return 'Saving …';
    case 'kept both':
      return 'Saved as a phrase of its own.';
    case 'kept removed':
      return 'Saved.';
    case 'refused':
      return 'Not saved.';
  }
}

/** What another window or a full disk did to the edit, and what can be done. */
function Trouble({ draft }: { readonly draft: Draft }) {
  const { queue } = useApp();
  const { status, phrase } = draft;
  const seen = (
    <button type="button" onClick={() => queue.dismiss(phrase.id)}>
      I have seen it
    </button>
  );
  switch (status.kind) {
    case 'kept both': {
      const mine = status.mine.phrase;
      return (
        <div className="problem" role="alert">
          <p>
            This phrase was edited in another window at the same time. Both are kept: theirs here,
            and yours as{' '}
            <a href={addressOf({ page: 'phrase', id: mine.id, query: {} })}>{titleOf(mine)}</a>.{' '}
            <a
              href={addressOf({
                page: 'compare',
                a: phrase.id,
                b: mine.id,
                query: { choose: 'yes' },
              })}
            >
              Compare the two
            </a>
            .
          </p>
          {seen}
        </div>
      );
    }
    case 'kept removed':
      return (
        <div className="problem" role="alert">
          <p>
            This phrase was removed in another window while you edited it. It is back, as you edited
            it.
          </p>
          {seen}
        </div>
      );
    case 'refused': {
      const lines =
        status.refusal.kind === 'changed' ||
        status.refusal.kind === 'removed' ||
        status.refusal.kind === 'missing' ||
        status.refusal.kind === 'damaged'
          ? refusalInWords({ kind: 'conflict', conflict: status.refusal })
          : refusalInWords(status.refusal);
      return (
        <div className="problem" role="alert">
          <p>What you changed is only in this window. {lines.join(' ')}</p>
          <button type="button" onClick={() => void queue.retry(phrase.id)}>
            Try again
          </button>
          <button type="button" onClick={() => queue.abandon(phrase.id)}>
            Give the change up
          </button>
        </div>
      );
    }
    case 'saved':
    case 'unsaved':
    case 'saving':
      return null;
  }
}

import { useEffect, useId, useRef, useSyncExternalStore } from 'react';
import { folderWords } from './folder-words';
import type { FolderKeeper } from './keeper';
import '../export/export.css';

/** Chooses the folder that carries the library, says how it stands, and lets go of it. */
export function FolderDialog(props: {
  readonly keeper: FolderKeeper;
  readonly onClose: () => void;
}) {
  const { keeper, onClose } = props;
  const state = useSyncExternalStore(keeper.subscribe, keeper.get);
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => dialog.current?.showModal(), []);
  const can = state.kind !== 'no folders';
  return (
    <dialog ref={dialog} className="export" aria-labelledby={`${id}-title`} onClose={onClose}>
      <form method="dialog">
        <h2 id={`${id}-title`}>A folder in step with the library</h2>
        <p>
          A file for each phrase, lesson, collection and whatever else is in the library, written as
          you save and read when it changes. Put the folder where a file service carries it, and
          another device or another teacher has the same library. Of what changed on both sides both
          are kept.
        </p>
        {can ? (
          <p className="quiet">
            What is removed in the library is removed from the folder; a file that is missing there
            removes nothing here. Files of others in the folder are never touched.
          </p>
        ) : (
          <p>
            This browser gives no page a folder; Chromium on a computer does. Here a backup carries
            the library: “Back up the whole library” in the list of what can be done, and bring it
            in on the other device. On a computer the command line keeps a folder in step:{' '}
            <code>degreewise carry LIBRARY.json FOLDER</code>.
          </p>
        )}
        <p role="status">{folderWords(state)}</p>
        {state.kind === 'in step' && state.unreadable.length > 0 && (
          <ul>
            {state.unreadable.slice(0, 20).map(({ path, why }) => (
              <li key={path}>
                {path}: {why}
              </li>
            ))}
          </ul>
        )}
        <Buttons keeper={keeper} onClose={() => dialog.current?.close()} />
      </form>
    </dialog>
  );
}

/** What can be done with the folder as it stands. */
function Buttons(props: { readonly keeper: FolderKeeper; readonly onClose: () => void }) {
  const { keeper, onClose } = props;
  const state = useSyncExternalStore(keeper.subscribe, keeper.get);
  const can = state.kind !== 'no folders';
  const opens = state.kind === 'opening' || state.kind === 'waits';
  const has = can && state.kind !== 'none' && !opens;
  return (
    <p className="buttons">
      {state.kind === 'asks' && (
        <button type="button" className="primary" onClick={() => void keeper.allow()}>
          Allow it again
        </button>
      )}
      {can && (
        <button
          type="button"
          className={has ? '' : 'primary'}
          disabled={opens || state.kind === 'at work'}
          onClick={() => void keeper.choose()}
        >
          {has ? 'Choose another folder …' : 'Choose a folder …'}
        </button>
      )}
      {has && state.kind !== 'asks' && (
        <button
          type="button"
          disabled={state.kind === 'at work'}
          onClick={() => void keeper.look('whole')}
        >
          Look at it now
        </button>
      )}
      {has && (
        <button type="button" onClick={() => void keeper.leave()}>
          Stop keeping it in step
        </button>
      )}
      <button type="button" onClick={onClose}>
        Close
      </button>
    </p>
  );
}

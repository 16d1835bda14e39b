import { useEffect, useId, useRef, useState } from 'react';
import { PHRASES } from '../../../io/kinds/kinds';
import { pause } from '../../../storage/pieces';
import type { LibraryStore } from '../../../storage/types';
import type { VersionsSize } from '../../../storage/versions';
import { countOf } from '../../shared/count-of';
import { saveFile } from '../../shared/save-file';
import { count } from '../../shared/words';
import { useApp } from '../app-context';
import { keysOf, whatIsSaved, writeBackup } from './write-backup';
import './export.css';

/** Milliseconds between two words on how far it has come. */
const TELL = 100;

/** Saves one file with everything that the library holds, of whatever kind. */
export function BackupDialog({ onClose }: { readonly onClose: () => void }) {
  const { store, notices, now } = useApp();
  const dialog = useRef<HTMLDialogElement>(null);
  const stop = useRef<AbortController | null>(null);
  const [done, setDone] = useState<number | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const [past, setPast] = useState<VersionsSize | null>(null);
  const [withPast, setWithPast] = useState(true);
  const id = useId();
  useEffect(() => {
    const keys = keysOf(store.snapshot().phrases, othersIn(store));
    void store.versions?.size(keys).then(setPast);
  }, [store]);
  useEffect(() => {
    dialog.current?.showModal();
    return () => stop.current?.abort();
  }, []);
  const { phrases } = store.snapshot();
  const others = othersIn(store);
  const all = [...phrases.map(() => ({ kind: PHRASES })), ...others];
  const versions = withPast ? (past?.versions ?? 0) : 0;
  const save = async () => {
    const abort = new AbortController();
    stop.current = abort;
    setTrouble(null);
    setDone(0);
    let told = 0;
    const onPhrase = (n: number) => {
      if (performance.now() - told < TELL) return;
      told = performance.now();
      setDone(n);
    };
    try {
      const progress = { onPhrase, signal: abort.signal };
      const file = await writeBackup(store, { phrases, others, withPast, past }, progress);
      const name = `library-${now().slice(0, 10)}.json`;
      saveFile({ ...file.out, name });
      // What the browser is told of the file, and all that is shown once the dialog is gone, are two tasks.
      await pause();
      dialog.current?.close();
      notices.done(`Saved as ${name}: ${whatIsSaved(file, all.length)}`);
    } catch (reason) {
      setDone(null);
      if (abort.signal.aborted) return;
      setTrouble(reason instanceof Error ? reason.message : String(reason));
    }
  };
  return (
    <dialog ref={dialog} className="export" aria-labelledby={`${id}-title`} onClose={onClose}>
      <form
        method="dialog"
        onSubmit={(e) => {
          e.preventDefault();
          void save();
        }}
      >
        <h2 id={`${id}-title`}>Back up the library</h2>
        <WhatIsIn what={countOf(all)} />
        <WithPast past={past} chosen={withPast} busy={done !== null} onChoose={setWithPast} />
        <p className="quiet">
          How caught phrases were played is in it. Their recordings, what was removed and the steps
          to undo are not: they stay in this browser.
        </p>
        <p role="status">
          {done !== null &&
            `Writing ${Math.min(done + 1, all.length + versions)} of ${all.length + versions} …`}
        </p>
        {trouble !== null && <p role="alert">Nothing was saved. The program says: {trouble}.</p>}
        <p className="buttons">
          <button type="submit" className="primary" disabled={done !== null}>
            Save the backup
          </button>
          <button type="button" onClick={() => dialog.current?.close()}>
            {done === null ? 'Close' : 'Stop'}
          </button>
        </p>
      </form>
    </dialog>
  );
}

/** Everything but phrases. */
const othersIn = (store: LibraryStore) =>
  store.kinds.flatMap((kind) => {
    const all = kind === PHRASES ? [] : store.of(kind).all();
    return all.map(({ id }) => ({ kind, id }));
  });

function WithPast(props: {
  readonly past: VersionsSize | null;
  readonly chosen: boolean;
  readonly busy: boolean;
  readonly onChoose: (chosen: boolean) => void;
}) {
  const { past, chosen, busy, onChoose } = props;
  if (past === null || past.versions === 0) return null;
  return (
    <label className="with-past">
      <input
        type="checkbox"
        checked={chosen}
        disabled={busy}
        onChange={(e) => onChoose(e.target.checked)}
      />{' '}
      With {count(past.versions, 'earlier version')}, {sizeWords(past.characters)}
    </label>
  );
}

function WhatIsIn({ what }: { readonly what: string }) {
  return (
    <p>
      One file with all that is in it: {what}. Bring it in again at any time, here or on another
      device; what is there already stays as it is.
    </p>
  );
}

/** Of a text, about; a character is a byte, nearly. */
function sizeWords(characters: number): string {
  const megabytes = characters / 1e6;
  return megabytes < 1 ? 'less than 1 MB' : `about ${Math.round(megabytes)} MB`;
}

import { useEffect, useId, useRef, useState } from 'react';
import type { AnyKind } from '../../../io/kinds/kind';
import { PHRASES } from '../../../io/kinds/kinds';
import { type Progress, publishTexts } from '../../../publish/publish';
import type { LibraryStore, PhraseEntry } from '../../../storage/types';
import type { VersionsSize } from '../../../storage/versions';
import { countOf } from '../../shared/count-of';
import { saveFile } from '../../shared/save-file';
import { count } from '../../shared/words';
import { useApp } from '../app-context';
import { missingWords } from './write-choice';
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
    void store.versions?.size().then(setPast);
  }, [store]);
  useEffect(() => {
    dialog.current?.showModal();
    return () => stop.current?.abort();
  }, []);
  const { phrases } = store.snapshot();
  const others = store.kinds
    .filter((k) => k !== PHRASES)
    .flatMap((kind) =>
      store
        .of(kind)
        .all()
        .map(({ id }) => ({ kind, id })),
    );
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
      // Whoever is quicker than the count gets them all the same.
      const there = past ?? (await store.versions?.size()) ?? null;
      const file = await writeBackup(
        store,
        phrases,
        others,
        progress,
        withPast && (there?.versions ?? 0) > 0,
      );
      const name = `library-${now().slice(0, 10)}.json`;
      saveFile({ ...file.out, name });
      dialog.current?.close();
      const missing = all.length - file.saved.length;
      const left = [
        ...(missing > 0 ? [missingWords(missing, 'entry', 'entries')] : []),
        ...(file.unread > 0 ? [missingWords(file.unread, 'earlier version')] : []),
      ];
      const inIt = `${countOf(file.saved)}${file.versions > 0 ? `, ${count(file.versions, 'earlier version')}` : ''}`;
      const out = left.length === 0 ? '' : ` Not in it: ${left.join(', ')}.`;
      notices.done(`Saved as ${name}: ${inIt}.${out}`);
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
        {past !== null && past.versions > 0 && (
          <label className="with-past">
            <input
              type="checkbox"
              checked={withPast}
              disabled={done !== null}
              onChange={(e) => setWithPast(e.target.checked)}
            />{' '}
            With {count(past.versions, 'earlier version')} of phrases, {sizeWords(past.characters)}
          </label>
        )}
        <p className="quiet">
          Not in it: the recordings that some phrases were caught from, what was removed, and the
          steps to undo. They stay in this browser.
        </p>
        <p role="status">{done !== null && `Writing ${done + 1} of ${all.length + versions} …`}</p>
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

/**
 * Everything as one file.
 * @returns with what of it could be read, which is then in the file.
 */
async function writeBackup(
  store: LibraryStore,
  phrases: readonly PhraseEntry[],
  others: readonly { readonly kind: AnyKind; readonly id: string }[],
  progress: Progress,
  withVersions: boolean,
) {
  let [versions, unread] = [0, 0];
  const saved: { readonly kind: AnyKind }[] = [];
  const texts = async function* () {
    for (const kind of new Set(others.map((o) => o.kind))) {
      const ids = others.flatMap((o) => (o.kind === kind ? [o.id] : [])).sort();
      for await (const some of store.of(kind).texts(ids)) {
        saved.push(...some.map(() => ({ kind })));
        yield some;
      }
    }
    if (!withVersions || store.versions === null) return;
    for await (const some of store.versions.texts(new Set(phrases.map((p) => p.id)))) {
      versions += some.texts.length;
      unread += some.unread;
      yield some.texts;
    }
  };
  const out = await publishTexts(
    // In the order of their keys, in which reading costs least.
    store.texts(phrases.map((p) => p.id).sort()),
    (piece) => new Blob([piece]),
    progress,
    texts(),
  );
  const written = Array.from({ length: out.phrases }, () => ({ kind: PHRASES }));
  return { out, saved: [...written, ...saved], versions, unread };
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

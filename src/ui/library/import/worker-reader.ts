import { fail, type Result } from '../../../core/result';
import type { DecodedFile } from '../../../io/file/decode-file';
import { MOST_BYTES, tooLarge } from '../../../io/file/most-bytes';
import { FILE_KINDS } from '../../../io/kinds/file-kinds';
import type { Thing } from '../../../io/kinds/kind';
import { isLibrary } from '../../../io/library/read';
import type { LibraryFile, Reader } from '../../frame/importer';
import { NotThere, whyMissing } from '../../shared/on-demand';
import type { FromWorker, SentThing, ToWorker } from './import-worker';

/** Bytes at the beginning in which a library says that it is one. */
const BEGINNING = 4096;

/** Reads files away from the page, so that a large one does not hold it up. */
export function workerReader(now: () => string): Reader<File> {
  let worker: Worker | null = null;
  let giveUp: () => void = () => undefined;
  /** Sends something, and hears what comes until `done` has a result. */
  const ask = <T>(
    message: ToWorker,
    move: readonly Transferable[],
    done: (told: FromWorker) => Result<T> | null,
  ): Promise<Result<T>> => {
    const running = worker ?? start();
    worker = running;
    return new Promise((resolve) => {
      giveUp = () => resolve(fail({ message: 'reading was stopped' }));
      running.onmessage = (e: MessageEvent<FromWorker>) => {
        const result = done(e.data);
        if (result !== null) resolve(result);
      };
      running.onerror = async (e) => {
        e.preventDefault();
        // What is thrown while a file is read has a message; a worker that did not come has none.
        if (e.message !== '' && e.message !== undefined) {
          resolve(fail({ message: `the file could not be read: ${e.message}` }));
          return;
        }
        const missing = new NotThere('What reads files', await whyMissing(), e);
        resolve(fail({ message: missing.message }));
      };
      running.postMessage(message, [...move]);
    });
  };
  return {
    async read(file, choice = {}) {
      // Before it is taken into memory; a library is not, and may have any number.
      if (file.size > MOST_BYTES) return fail(tooLarge(file.size));
      const bytes = await readBytes(file);
      if (!bytes.ok) return bytes;
      const { name } = file;
      const message = { kind: 'file', name, bytes: bytes.value, now: now(), choice } as const;
      return ask<DecodedFile>(message, [bytes.value.buffer], (told) =>
        told.kind === 'file' ? fileOf(told) : null,
      );
    },
    async library(file): Promise<LibraryFile | null> {
      const beginning = await readBytes(file.slice(0, BEGINNING));
      if (!beginning.ok || !isLibrary(beginning.value)) return null;
      return {
        check: (progress) =>
          ask<number>({ kind: 'check', file }, [], (told) => {
            if (told.kind === 'progress') progress(told.entries, told.part);
            return told.kind === 'end' ? told.result : null;
          }),
        each: (take) =>
          ask<number>({ kind: 'send', file }, [], (told) => {
            if (told.kind === 'entries') void take(withKinds(told.entries)).then(more);
            return told.kind === 'end' ? told.result : null;
          }),
      };
    },
    stop() {
      worker?.terminate();
      worker = null;
      giveUp();
    },
  };

  function more(goOn: boolean): void {
    if (goOn) worker?.postMessage({ kind: 'more' } satisfies ToWorker);
    else giveUp();
  }
}

function fileOf({ result, others }: Extract<FromWorker, { kind: 'file' }>): Result<DecodedFile> {
  if (!result.ok || others.length === 0) return result;
  return { ok: true, value: { ...result.value, others: withKinds(others) } };
}

/** The same things with their kinds, which could not be sent. */
function withKinds<T extends SentThing>(sent: readonly T[]): readonly (Omit<T, 'kind'> & Thing)[] {
  return sent.map((t) => {
    const kind = FILE_KINDS.find((k) => k.name === t.kind);
    if (kind === undefined) throw new RangeError(`there is no kind ${t.kind}`);
    return { ...t, kind };
  });
}

function start(): Worker {
  return new Worker(new URL('./import-worker.ts', import.meta.url), { type: 'module' });
}

async function readBytes(file: Blob): Promise<Result<Uint8Array<ArrayBuffer>>> {
  try {
    return { ok: true, value: new Uint8Array(await file.arrayBuffer()) };
  } catch {
    return fail({
      message: 'the browser could not read the file',
      fix: 'Choose files, not folders, and check that it is still where it was.',
    });
  }
}

import { fail, type Result } from '../../../core/result';
import type { DecodedFile } from '../../../io/file/decode-file';
import type { Reader } from '../../frame/importer';
import { NotThere, whyMissing } from '../../shared/on-demand';
import type { FileForWorker, FromWorker } from './import-worker';

/** Most bytes that are taken into memory; the reader itself refuses more than it can read. */
const MOST_BYTES = 256 * 1024 * 1024;

/** Reads files away from the page, so that a large one does not hold it up. */
export function workerReader(now: () => string): Reader<File> {
  let worker: Worker | null = null;
  let giveUp: (() => void) | null = null;
  return {
    async read(file, choice = {}) {
      if (file.size > MOST_BYTES) {
        return fail({
          message: `the file has ${file.size} bytes, far more than any library`,
          fix: 'Check whether it is what you meant to open.',
        });
      }
      const bytes = await readBytes(file);
      if (!bytes.ok) return bytes;
      worker ??= new Worker(new URL('./import-worker.ts', import.meta.url), { type: 'module' });
      return new Promise((resolve) => {
        giveUp = () => resolve(fail({ message: 'reading was stopped' }));
        void ask(worker!, { name: file.name, bytes: bytes.value, now: now(), choice }).then(
          resolve,
        );
      });
    },
    stop() {
      worker?.terminate();
      worker = null;
      giveUp?.();
    },
  };
}

async function readBytes(file: File): Promise<Result<Uint8Array>> {
  try {
    return { ok: true, value: new Uint8Array(await file.arrayBuffer()) };
  } catch {
    return fail({
      message: 'the browser could not read the file',
      fix: 'Choose files, not folders, and check that it is still where it was.',
    });
  }
}

function ask(worker: Worker, message: FileForWorker): Promise<Result<DecodedFile>> {
  return new Promise((resolve) => {
    worker.onmessage = (e: MessageEvent<FromWorker>) => resolve(e.data);
    worker.onerror = async (e) => {
      e.preventDefault();
      // What is thrown while a file is read has a message; a worker that did not come has none.
      if (e.message !== '' && e.message !== undefined) {
        resolve(fail({ message: `the file could not be read: ${e.message}` }));
        return;
      }
      const missing = new NotThere('What reads files', await whyMissing(), e);
      resolve(fail({ message: missing.message }));
    };
    worker.postMessage(message, [message.bytes.buffer]);
  });
}

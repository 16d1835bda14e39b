import type { Phrase } from '../../../core/phrase/types';
import type { Result } from '../../../core/result';
import { type DecodedFile, decodeFile, type ReadChoice } from '../../../io/file/decode-file';
import type { Checked } from '../../../io/kinds/kind';
import { LibraryReader } from '../../../io/library/read';
import { newId } from '../../frame/new-id';

/** What the page sends. */
export type ToWorker =
  | {
      readonly kind: 'file';
      readonly name: string;
      readonly bytes: Uint8Array;
      /** ISO 8601 in UTC. */
      readonly now: string;
      /** What of a score is read. */
      readonly choice: ReadChoice;
    }
  /** A library is read from its first phrase to its last, and nothing of it is sent. */
  | { readonly kind: 'check'; readonly file: Blob }
  /** It is read again, and its phrases are sent, so many at a time, each time after `more`. */
  | { readonly kind: 'send'; readonly file: Blob }
  | { readonly kind: 'more' };

/** What the page gets back. */
export type FromWorker =
  | { readonly kind: 'file'; readonly result: Result<DecodedFile> }
  | { readonly kind: 'progress'; readonly phrases: number; readonly part: number }
  | { readonly kind: 'end'; readonly result: Result<number> }
  | { readonly kind: 'phrases'; readonly phrases: readonly Checked<Phrase>[] };

/** Phrases sent at a time: few enough for the page to take in without being held up. */
const SENT = 48;
/** Milliseconds between two words on how far it has come. */
const TELL = 200;

let goOn: () => void = () => undefined;

self.addEventListener('message', ({ data }: MessageEvent<ToWorker>) => {
  if (data.kind === 'more') return goOn();
  if (data.kind === 'file') {
    const { name, bytes, now, choice } = data;
    return tell({ kind: 'file', result: decodeFile(name, bytes, { ...choice, newId, now }) });
  }
  void read(data.file, data.kind === 'send');
});

function tell(message: FromWorker): void {
  self.postMessage(message);
}

async function read(file: Blob, send: boolean): Promise<void> {
  try {
    tell({ kind: 'end', result: await readLibrary(file, send) });
  } catch {
    const problem = {
      message: 'the browser could not read the file',
      fix: 'Check that it is still where it was.',
    };
    tell({ kind: 'end', result: { ok: false, problems: [problem] } });
  }
}

async function readLibrary(file: Blob, send: boolean): Promise<Result<number>> {
  const reader = new LibraryReader();
  const bytes = file.stream().getReader();
  let waiting: Checked<Phrase>[] = [];
  const sendThem = async () => {
    const more = new Promise<void>((resolve) => {
      goOn = resolve;
    });
    tell({ kind: 'phrases', phrases: waiting });
    waiting = [];
    await more;
  };
  let told = 0;
  let taken = 0;
  for (let next = await bytes.read(); !next.done; next = await bytes.read()) {
    taken += next.value.length;
    for (const { phrase } of reader.take(next.value)) {
      if (!send) continue;
      waiting.push({ value: phrase, text: JSON.stringify(phrase) });
      if (waiting.length >= SENT) await sendThem();
    }
    if (reader.givenUp) break;
    if (performance.now() - told < TELL) continue;
    told = performance.now();
    tell({ kind: 'progress', phrases: reader.done, part: taken / file.size });
  }
  if (waiting.length > 0) await sendThem();
  return reader.end();
}

import type { Result } from '../../../core/result';
import { type DecodedFile, decodeFile, type ReadChoice } from '../../../io/file/decode-file';
import type { Thing } from '../../../io/kinds/kind';
import { FoundRight } from '../../../io/library/found-right';
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
  /** A library is read from its first entry to its last, and nothing of it is sent. */
  | { readonly kind: 'check'; readonly file: File }
  /** It is read again, and its entries are sent, so many at a time, each time after `more`. */
  | { readonly kind: 'send'; readonly file: File }
  | { readonly kind: 'more' };

/** A thing with the name of its kind: a kind itself cannot be sent. */
export interface SentThing {
  readonly kind: string;
  readonly value: unknown;
}

/** What the page gets back. */
export type FromWorker =
  | {
      readonly kind: 'file';
      readonly result: Result<Omit<DecodedFile, 'others'>>;
      readonly others: readonly SentThing[];
    }
  | { readonly kind: 'progress'; readonly entries: number; readonly part: number }
  | { readonly kind: 'end'; readonly result: Result<number> }
  | {
      readonly kind: 'entries';
      readonly entries: readonly (SentThing & { readonly text: string })[];
    };

/** Entries sent at a time: few enough for the page to take in without being held up. */
const SENT = 48;
/** Milliseconds between two words on how far it has come. */
const TELL = 200;

let goOn: () => void = () => undefined;

self.addEventListener('message', ({ data }: MessageEvent<ToWorker>) => {
  if (data.kind === 'more') return goOn();
  if (data.kind === 'file') {
    const { name, bytes, now, choice } = data;
    const read = decodeFile(name, bytes, { ...choice, newId, now });
    if (!read.ok) return tell({ kind: 'file', result: read, others: [] });
    const { others = [], ...file } = read.value;
    return tell({ kind: 'file', result: { ok: true, value: file }, others: others.map(sent) });
  }
  void read(data.file, data.kind === 'send');
});

function tell(message: FromWorker): void {
  self.postMessage(message);
}

function sent({ kind, value }: Thing): SentThing {
  return { kind: kind.name, value };
}

/** By the name of a file, its size and when it was changed: it is read twice. */
const right = new Map<string, FoundRight>();

function foundRightIn({ name, size, lastModified }: File): FoundRight {
  const key = `${lastModified} ${size} ${name}`;
  const known = right.get(key) ?? new FoundRight();
  right.set(key, known);
  return known;
}

async function read(file: File, send: boolean): Promise<void> {
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

async function readLibrary(file: File, send: boolean): Promise<Result<number>> {
  const reader = new LibraryReader(undefined, foundRightIn(file));
  const bytes = file.stream().getReader();
  let waiting: (SentThing & { readonly text: string })[] = [];
  const sendThem = async () => {
    const more = new Promise<void>((resolve) => {
      goOn = resolve;
    });
    tell({ kind: 'entries', entries: waiting });
    waiting = [];
    await more;
  };
  let told = 0;
  let taken = 0;
  for (let next = await bytes.read(); !next.done; next = await bytes.read()) {
    taken += next.value.length;
    for (const entry of reader.take(next.value)) {
      if (!send) continue;
      waiting.push({ ...sent(entry), text: entry.text });
      if (waiting.length >= SENT) await sendThem();
    }
    if (reader.givenUp) break;
    if (performance.now() - told < TELL) continue;
    told = performance.now();
    tell({ kind: 'progress', entries: reader.done, part: taken / file.size });
  }
  if (waiting.length > 0) await sendThem();
  return reader.end();
}

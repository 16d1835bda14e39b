import type { Result } from '../../../core/result';
import { type DecodedFile, decodeFile, type ReadChoice } from '../../../io/file/decode-file';
import { newId } from '../../frame/new-id';

/** What the page sends. */
export interface FileForWorker {
  readonly name: string;
  readonly bytes: Uint8Array;
  /** ISO 8601 in UTC. */
  readonly now: string;
  /** What of a score is read. */
  readonly choice: ReadChoice;
}

/** What the page gets back. */
export type FromWorker = Result<DecodedFile>;

self.addEventListener('message', (event: MessageEvent<FileForWorker>) => {
  const { name, bytes, now, choice } = event.data;
  self.postMessage(decodeFile(name, bytes, { ...choice, newId, now }) satisfies FromWorker);
});

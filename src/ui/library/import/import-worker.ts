import type { Result } from '../../../core/result';
import { type DecodedFile, decodeFile } from '../../../io/file/decode-file';
import { newId } from '../../frame/new-id';

/** What the page sends. */
export interface FileForWorker {
  readonly name: string;
  readonly bytes: Uint8Array;
  /** ISO 8601 in UTC. */
  readonly now: string;
}

/** What the page gets back. */
export type FromWorker = Result<DecodedFile>;

self.addEventListener('message', (event: MessageEvent<FileForWorker>) => {
  const { name, bytes, now } = event.data;
  self.postMessage(decodeFile(name, bytes, { newId, now }) satisfies FromWorker);
});

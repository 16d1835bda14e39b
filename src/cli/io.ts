import type { Result } from '../core/result';
import type { Folder } from '../io/folder/ports';
import type { Scratch } from './scratch';

/** A stream of text to a person or a file. */
export interface TextOut {
  readonly write: (text: string) => void;
  /** Whether a person watches it. */
  readonly isTerminal: boolean;
  /** Characters in a line of the terminal; absent where there is none. */
  readonly columns?: number;
}

/** What stands under a name. */
export type PathKind = 'file' | 'folder' | 'none';

/** The part of the file system that the commands use; failures are told in plain words. */
export interface Files {
  /**
   * Reads a whole file; `-` is the standard input.
   * @param most Bytes that are read of a file that begins so; a larger one is refused.
   */
  readonly read: (
    path: string,
    most: (beginning: Uint8Array) => number,
  ) => Promise<Result<Uint8Array>>;
  /** The same in pieces, however large it is; a failure is the last of them. */
  readonly pieces: (path: string) => AsyncIterable<Result<Uint8Array>>;
  readonly kindOf: (path: string) => Promise<PathKind>;
  /** Every file in a folder and the folders in it, by name; hidden ones are left out. */
  readonly list: (folder: string) => Promise<Result<readonly string[]>>;
  /**
   * Writes a file whole or not at all, with the folders that lead to it.
   * @param bytes All of them, or in pieces.
   * @param overwrite Whether a file of this name may be replaced.
   * @returns 'taken' where there is one and it may not.
   */
  readonly write: (
    path: string,
    bytes: Uint8Array | Iterable<Uint8Array>,
    overwrite: boolean,
  ) => Promise<Result<'written' | 'taken'>>;
}

/** All that the command line has of the world outside. */
export interface CliIo {
  readonly out: TextOut;
  readonly err: TextOut;
  readonly files: Files;
  /** A folder, there or not yet, and its name on this machine however it was written. */
  readonly folder: (path: string) => Promise<{ readonly folder: Folder; readonly place: string }>;
  /** Room for texts that is given back at the end. */
  readonly scratch: () => Scratch;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly now: () => Date;
  /** The weights of the model that hears recordings, which lie beside the program. */
  readonly captureWeights: () => Promise<Result<Uint8Array>>;
  /** An id for a new phrase, never given before. */
  readonly newId: () => string;
}

/** 0 done, 1 something that was read is wrong, 2 the command line is wrong. */
export type ExitCode = 0 | 1 | 2;

import type { CliIo, Files } from '../../src/cli/io';
import { joined } from '../../src/cli/pieces';
import { memoryScratch } from '../../src/cli/scratch';
import { fail, ok } from '../../src/core/result';
import { captureWeights } from './capture-model';
import { MemoryFolder } from './memory-folder';

/** A world outside that is kept in memory, to run commands in the same process. */
export interface MemoryIo extends CliIo {
  readonly disk: Map<string, Uint8Array>;
  readonly stdout: () => string;
  readonly stderr: () => string;
}

export interface MemoryOptions {
  readonly files?: Readonly<Record<string, string | Uint8Array>>;
  readonly folders?: readonly string[];
  readonly env?: CliIo['env'];
  /** Columns of a terminal on both streams; none when absent. */
  readonly terminal?: number;
}

export function memoryIo(o: MemoryOptions = {}): MemoryIo {
  const disk = new Map<string, Uint8Array>();
  for (const [path, content] of Object.entries(o.files ?? {})) {
    disk.set(path, typeof content === 'string' ? new TextEncoder().encode(content) : content);
  }
  const written = { out: '', err: '' };
  const stream = (name: 'out' | 'err') => ({
    write: (text: string) => {
      written[name] += text;
    },
    isTerminal: o.terminal !== undefined,
    ...(o.terminal === undefined ? {} : { columns: o.terminal }),
  });
  let ids = 0;
  return {
    out: stream('out'),
    err: stream('err'),
    files: memoryFiles(disk, o.folders ?? []),
    folder: async (place) => ({ folder: new MemoryFolder(), place }),
    scratch: memoryScratch,
    env: o.env ?? {},
    now: () => new Date('2026-11-25T10:00:00.000Z'),
    newId: () => `new-${++ids}`,
    captureWeights: async () => ok(captureWeights()),
    disk,
    stdout: () => written.out,
    stderr: () => written.err,
  };
}

/** Smaller than many files, so that these come in several pieces. */
const PIECE = 5_000;

function memoryFiles(disk: Map<string, Uint8Array>, folders: readonly string[]): Files {
  return {
    read: async (path, most) => {
      const bytes = disk.get(path);
      if (bytes === undefined) return fail({ message: 'there is no such file' });
      return bytes.length > most(bytes) ? fail({ message: 'the file is too large' }) : ok(bytes);
    },
    pieces: async function* (path) {
      const bytes = disk.get(path);
      if (bytes === undefined) yield fail({ message: 'there is no such file' });
      else
        for (let at = 0; at < bytes.length; at += PIECE) yield ok(bytes.subarray(at, at + PIECE));
    },
    kindOf: async (path) => (folders.includes(path) ? 'folder' : disk.has(path) ? 'file' : 'none'),
    list: async (folder) => ok([...disk.keys()].filter((f) => f.startsWith(`${folder}/`)).sort()),
    write: async (path, bytes, overwrite) => {
      if (disk.has(path) && !overwrite) return ok('taken');
      disk.set(path, bytes instanceof Uint8Array ? bytes : joined([...bytes]));
      return ok('written');
    },
  };
}

import { randomUUID } from 'node:crypto';
import type { Stats } from 'node:fs';
import {
  constants,
  copyFile,
  link,
  mkdir,
  open,
  readdir,
  readFile,
  rename,
  stat,
  writeFile,
} from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { fail, ok, type Problem, type Result } from '../core/result';
import { withDraft } from './drafts';
import type { CliIo, Files, PathKind, TextOut } from './io';
import { nodeFolder } from './node-folder';
import { nodeScratch } from './node-scratch';
import { collected, type Pieces } from './pieces';

/** The world outside, as Node gives it. */
export function nodeIo(): CliIo {
  return {
    out: textOut(process.stdout),
    err: textOut(process.stderr),
    files: nodeFiles(),
    folder: (path) => nodeFolder(path, nodeFiles()),
    scratch: nodeScratch,
    env: process.env,
    now: () => new Date(),
    newId: () => randomUUID(),
    captureWeights,
  };
}

/** Beside the built program, or among the sources. */
const WEIGHTS = ['capture-weights.bin', '../sound/capture/model/weights.bin'];

async function captureWeights(): Promise<Result<Uint8Array>> {
  const folder = dirname(fileURLToPath(import.meta.url));
  for (const name of WEIGHTS) {
    try {
      return ok(await readFile(join(folder, name)));
    } catch (e) {
      if (codeOf(e) !== 'ENOENT') return fail(told(codeOf(e)));
    }
  }
  return fail({
    message: 'the model that hears recordings does not lie beside the program',
    fix: 'Build the program again with npm run build.',
  });
}

function textOut(stream: NodeJS.WriteStream): TextOut {
  return {
    write: (text) => {
      stream.write(text);
    },
    isTerminal: stream.isTTY === true,
    ...(stream.isTTY === true ? { columns: stream.columns } : {}),
  };
}

function nodeFiles(): Files {
  return {
    read: (path, most) => collected(piecesOf(path), most),
    pieces: piecesOf,
    kindOf,
    list: listFiles,
    write: writeWhole,
  };
}

/** Bytes that are read at a time. */
const BLOCK = 1024 * 1024;

async function* piecesOf(path: string): Pieces {
  try {
    if (path === '-') {
      for await (const chunk of process.stdin) yield ok(bytesOf(chunk));
      return;
    }
    const file = await open(path, 'r');
    try {
      const info = await file.stat();
      if (info.isDirectory()) yield fail(told('EISDIR'));
      // The size of a pipe or device is not known before it ends.
      else {
        const stream = file.createReadStream({ autoClose: false, highWaterMark: BLOCK });
        for await (const chunk of stream) yield ok(bytesOf(chunk));
      }
    } finally {
      await file.close();
    }
  } catch (e) {
    yield fail(told(codeOf(e)));
  }
}

function bytesOf(chunk: Uint8Array | string): Uint8Array {
  return typeof chunk === 'string' ? new TextEncoder().encode(chunk) : chunk;
}

async function kindOf(path: string): Promise<PathKind> {
  let info: Stats;
  try {
    info = await stat(path);
  } catch {
    return 'none';
  }
  return info.isDirectory() ? 'folder' : 'file';
}

async function listFiles(folder: string): Promise<Result<readonly string[]>> {
  const files: string[] = [];
  const waiting = [folder];
  try {
    for (let here = waiting.pop(); here !== undefined; here = waiting.pop()) {
      for (const entry of await readdir(here, { withFileTypes: true })) {
        if (entry.name.startsWith('.')) continue;
        const path = join(here, entry.name);
        if (entry.isDirectory()) waiting.push(path);
        else if (entry.isFile()) files.push(path);
      }
    }
  } catch (e) {
    return fail(told(codeOf(e)));
  }
  return ok(files.sort());
}

/** Into a file beside it first, then under its name in one step. */
async function writeWhole(
  path: string,
  bytes: Uint8Array | Iterable<Uint8Array>,
  overwrite: boolean,
): Promise<Result<'written' | 'taken'>> {
  const folder = dirname(path);
  const draft = join(folder, `.${basename(path)}.${randomUUID().slice(0, 8)}.part`);
  try {
    await makeFolder(folder);
  } catch (e) {
    return fail(told(codeOf(e)));
  }
  try {
    await withDraft(draft, async () => {
      await writeFile(draft, bytes, { flag: 'wx' });
      if (overwrite) await rename(draft, path);
      else await nameAnew(draft, path);
    });
    return ok('written');
  } catch (e) {
    return codeOf(e) === 'EEXIST' ? ok('taken') : fail(told(codeOf(e)));
  }
}

async function makeFolder(path: string): Promise<void> {
  try {
    await mkdir(path, { recursive: true });
  } catch (e) {
    // Something of the name is there, and it is no folder.
    throw codeOf(e) === 'EEXIST' ? Object.assign(new Error(), { code: 'ENOTDIR' }) : e;
  }
}

/** Gives the draft its name, unless the name is taken by now. */
async function nameAnew(draft: string, path: string): Promise<void> {
  try {
    await link(draft, path);
  } catch (e) {
    if (codeOf(e) === 'EEXIST') throw e;
    // Some file systems know no second name for a file.
    await copyFile(draft, path, constants.COPYFILE_EXCL);
  }
}

function codeOf(e: unknown): string {
  return e instanceof Error && 'code' in e ? String(e.code) : String(e);
}

const TOLD: Readonly<Record<string, Problem>> = {
  ENOENT: { message: 'there is no such file', fix: 'Check the name and the folder.' },
  EISDIR: { message: 'this is a folder', fix: 'Name the files in it, for example with *.json.' },
  ENOTDIR: { message: 'a part of the path is no folder', fix: 'Check the name and the folder.' },
  EACCES: { message: 'the system does not allow it', fix: 'Check the permissions of the file.' },
  EPERM: { message: 'the system does not allow it', fix: 'Check the permissions of the file.' },
  EROFS: { message: 'the disk can only be read', fix: 'Write to another folder.' },
  ENOSPC: { message: 'the disk is full', fix: 'Make room, or write to another folder.' },
  ENAMETOOLONG: { message: 'the name is too long', fix: 'Choose a shorter one.' },
};

/** The failure of the system in plain words. */
function told(code: string): Problem {
  return TOLD[code] ?? { message: `the system refuses it (${code})` };
}

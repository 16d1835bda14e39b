import { closeSync, mkdtempSync, openSync, readSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { memoryScratch, type Scratch } from './scratch';

/** Bytes that are written at a time. */
const BLOCK = 1024 * 1024;

/**
 * Texts in a file of the system's folder for such, so that as many as the disk has room for cost little
 * memory. Where that folder cannot be written, or is full, they are held in memory.
 */
export function nodeScratch(): Scratch {
  const file = openAnew();
  return file === null ? memoryScratch() : new FileScratch(file);
}

interface Opened {
  readonly fd: number;
  readonly folder: string;
}

function openAnew(): Opened | null {
  try {
    const folder = mkdtempSync(join(tmpdir(), 'degreewise-'));
    const fd = openSync(join(folder, 'texts'), 'wx+', 0o600);
    // Where the system allows it the name goes at once, so that nothing is left whatever happens.
    remove(folder);
    return { fd, folder };
  } catch {
    return null;
  }
}

function remove(folder: string): void {
  try {
    rmSync(folder, { recursive: true, force: true });
  } catch {
    // Some systems keep the name while the file is open: `end` tries it again.
  }
}

class FileScratch implements Scratch {
  /** Where each text begins; the last is where the next one will. */
  private readonly begins: number[] = [0];
  private waiting: Uint8Array[] = [];
  private waits = 0;
  /** Of what is in the file. */
  private written = 0;
  /** What came after the disk was full, by its number. */
  private readonly inMemory = new Map<number, Uint8Array>();
  private full = false;
  private readonly utf8 = new TextEncoder();
  private readonly text = new TextDecoder();

  constructor(private readonly file: Opened) {}

  put(text: string): number {
    const bytes = this.utf8.encode(text);
    const number = this.begins.length - 1;
    if (this.full) this.inMemory.set(number, bytes);
    else {
      this.waiting.push(bytes);
      this.waits += bytes.length;
    }
    this.begins.push(this.begins[number]! + bytes.length);
    if (this.waits >= BLOCK) this.flush();
    return number;
  }

  get(number: number): string {
    if (this.waits > 0) this.flush();
    const held = this.inMemory.get(number);
    if (held !== undefined) return this.text.decode(held);
    const [from, to] = [this.begins[number] ?? 0, this.begins[number + 1] ?? 0];
    const bytes = new Uint8Array(to - from);
    for (let at = 0; at < bytes.length; ) {
      const read = readSync(this.file.fd, bytes, at, bytes.length - at, from + at);
      if (read === 0) throw new Error('a file of the system is cut off');
      at += read;
    }
    return this.text.decode(bytes);
  }

  end(): void {
    closeSync(this.file.fd);
    remove(this.file.folder);
  }

  private flush(): void {
    const first = this.begins.length - 1 - this.waiting.length;
    if (!this.append(Buffer.concat(this.waiting, this.waits))) {
      this.full = true;
      for (const [i, bytes] of this.waiting.entries()) this.inMemory.set(first + i, bytes);
    }
    this.waiting = [];
    this.waits = 0;
  }

  private append(bytes: Uint8Array): boolean {
    try {
      for (let at = 0; at < bytes.length; ) {
        at += writeSync(this.file.fd, bytes, at, bytes.length - at, this.written + at);
      }
    } catch {
      return false;
    }
    this.written += bytes.length;
    return true;
  }
}

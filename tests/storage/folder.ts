import type { FileEntry, Files } from '../../src/storage/second-copy';

/**
 * A folder in memory that does what the private file system of Chromium 156 was seen to do: a new
 * file is there, empty, before its writing ends, and what is written beside it, under a name with
 * `.crswap`, stays behind when the browser is killed meanwhile.
 */
export class Folder implements Files {
  /** Everything fails at once. */
  failing = false;
  /** Writing fails half way, as where the device is full. */
  full = false;
  /** So many more things happen in the folder, then nothing ever again: the browser is killed. */
  left = Number.POSITIVE_INFINITY;
  /** Resolves when that was so. */
  readonly killed: Promise<void>;
  private kill: () => void = () => undefined;

  constructor(readonly files = new Map<string, string>()) {
    this.killed = new Promise((resolve) => {
      this.kill = resolve;
    });
  }

  async list(): Promise<readonly FileEntry[]> {
    await this.happen();
    return [...this.files].map(([name, text]) => ({ name, size: text.length }));
  }

  async read(name: string): Promise<string> {
    await this.happen();
    const text = this.files.get(name);
    if (text === undefined) throw new DOMException('gone', 'NotFoundError');
    return text;
  }

  async write(name: string, pieces: Iterable<string>): Promise<void> {
    const text = [...pieces].join('');
    await this.happen();
    this.files.set(name, this.files.get(name) ?? '');
    await this.happen();
    this.files.set(`${name}.crswap`, text.slice(0, 10));
    await this.happen();
    if (this.full) {
      this.files.delete(`${name}.crswap`);
      throw new DOMException('folder', 'QuotaExceededError');
    }
    this.files.delete(`${name}.crswap`);
    this.files.set(name, text);
  }

  async remove(name: string): Promise<void> {
    await this.happen();
    if (!this.files.delete(name)) throw new DOMException('gone', 'NotFoundError');
  }

  /** Names of the files that hold anything, in order. */
  names(): readonly string[] {
    return [...this.files].flatMap(([name, text]) => (text === '' ? [] : [name])).sort();
  }

  private async happen(): Promise<void> {
    // As in a browser, other things may happen meanwhile.
    await Promise.resolve();
    if (this.left <= 0) {
      this.kill();
      return new Promise(() => undefined);
    }
    this.left -= 1;
    if (this.failing) throw new DOMException('folder', 'UnknownError');
  }
}

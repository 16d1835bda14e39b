import type { Folder } from '../../src/io/folder/ports';

/** A folder in memory, and what a file service would carry of it to another. */
export class MemoryFolder implements Folder {
  readonly texts = new Map<string, string>();
  /** Called with what was written, or null for what was removed. */
  onWrite: (path: string, text: string | null) => void = () => {};
  writes = 0;
  private clock = 0;
  private readonly stamps = new Map<string, string>();

  /** From outside. */
  set(path: string, text: string | null): void {
    if (text === null) this.texts.delete(path);
    else this.texts.set(path, text);
    this.clock += 1;
    this.stamps.set(path, String(this.clock));
  }

  async list() {
    return [...this.texts.keys()].map((path) => ({ path, stamp: this.stamps.get(path)! }));
  }

  async read(path: string): Promise<string | null> {
    return this.texts.get(path) ?? null;
  }

  async write(path: string, text: string, before: string | null): Promise<string | null> {
    if ((this.texts.get(path) ?? null) !== before) return null;
    this.set(path, text);
    this.writes += 1;
    this.onWrite(path, text);
    return this.stamps.get(path)!;
  }

  async remove(path: string, before: string): Promise<boolean> {
    if (this.texts.get(path) !== before) return false;
    this.set(path, null);
    this.writes += 1;
    this.onWrite(path, null);
    return true;
  }
}

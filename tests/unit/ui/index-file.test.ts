import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { Catalogue } from '../../../src/core/search/catalogue/catalogue';
import { sheetOf } from '../../../src/core/search/catalogue/sheet';
import { keepCatalogue } from '../../../src/io/search-index/keep';
import { readIndex, writeIndex } from '../../../src/ui/frame/search/index-file';
import { readSamples } from '../../support/samples';

/* Whatever happens to the file of the index: none is read that is not whole, and nothing fails. */

/** The private file system: what is written beside a file takes its place when it is closed. */
class Disk {
  file: Uint8Array<ArrayBuffer> | null = null;
  /** A folder, or whatever else is no file, lies in its place. */
  taken = false;
  trouble: 'none' | 'full' | 'full at the end' | 'hangs' | 'refuses' = 'none';

  /** Bytes that are free beside the file. */
  free = 2 ** 30;

  estimate = async () => ({ usage: 1000, quota: 1000 + this.free - (this.file?.length ?? 0) });

  getDirectory = async () => {
    if (this.trouble === 'hangs') return new Promise<never>(() => {});
    if (this.trouble === 'refuses') throw new DOMException('no', 'SecurityError');
    return {
      getDirectoryHandle: async () => ({ getFileHandle: this.handle }),
      removeEntry: async () => {
        this.taken = false;
        this.file = null;
      },
    };
  };

  private handle = async (_: string, options?: { create: boolean }) => {
    if (this.taken) throw new DOMException('', 'TypeMismatchError');
    if (this.file === null && options?.create !== true) throw new DOMException('', 'NotFoundError');
    const full = (when: string) => {
      if (this.trouble === when) throw new DOMException('full', 'QuotaExceededError');
    };
    let beside = new Uint8Array();
    return {
      getFile: async () => new Blob([this.file ?? new Uint8Array()]),
      createWritable: async () => ({
        write: async (bytes: Uint8Array<ArrayBuffer>) => {
          full('full');
          beside = bytes.slice();
        },
        close: async () => {
          full('full at the end');
          this.file = beside;
        },
        abort: async () => full('full'),
      }),
    };
  };
}

const disk = new Disk();
const catalogue = new Catalogue();
for (const { phrase } of readSamples().slice(0, 6)) catalogue.put(sheetOf(phrase));
const stamps = new Map([['sample', '1']]);
const bytes = keepCatalogue(catalogue, stamps);

beforeEach(async () => {
  vi.stubGlobal('navigator', { storage: disk });
  Object.assign(disk, { file: null, taken: false, trouble: 'none', free: 2 ** 30 });
  await writeIndex(bytes);
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

it('is read as it was written; cut, changed or gone it is none, and is written again', async () => {
  expect((await readIndex())?.stamps).toEqual(stamps);
  const damage: readonly (() => Uint8Array<ArrayBuffer> | null)[] = [
    () => bytes.slice(0, bytes.length >> 1),
    () => bytes.map((b, i) => (i === bytes.length >> 1 ? b ^ 4 : b)),
    () => new Uint8Array(),
    () => null,
  ];
  for (const damaged of damage) {
    disk.file = damaged();
    expect(await readIndex()).toBeNull();
    await writeIndex(bytes);
    expect((await readIndex())?.catalogue.size).toBe(6);
  }
});

it('what lies in its place and is no file goes, and it is kept again', async () => {
  disk.taken = true;
  expect(await readIndex()).toBeNull();
  await writeIndex(bytes);
  expect((await readIndex())?.catalogue.size).toBe(6);
});

it.each(['full', 'full at the end', 'refuses'] as const)(
  'a device that %s keeps the one that was there, or none',
  async (trouble) => {
    disk.trouble = trouble;
    await writeIndex(keepCatalogue(new Catalogue(), new Map()));
    disk.trouble = 'none';
    expect((await readIndex())?.stamps).toEqual(stamps);
  },
);

it('takes no room that the library may need, and gives back what it has', async () => {
  expect(await writeIndex(bytes)).toBe(true);
  disk.free = 2 ** 25 + bytes.length - 1;
  expect(await writeIndex(bytes)).toBe(false);
  expect(disk.file).toBeNull();
  expect(await readIndex()).toBeNull();
  disk.free = 2 ** 25 + bytes.length;
  expect(await writeIndex(bytes)).toBe(true);
  // Where the old one makes up the want, it goes first.
  expect(await writeIndex(bytes)).toBe(true);
  expect((await readIndex())?.stamps).toEqual(stamps);
  disk.trouble = 'full';
  expect(await writeIndex(bytes)).toBe(false);
});

it('a file system that does not answer is waited for four seconds', async () => {
  vi.useFakeTimers();
  disk.trouble = 'hangs';
  const read = vi.fn();
  void readIndex().then(read);
  await vi.advanceTimersByTimeAsync(3_900);
  expect(read).not.toHaveBeenCalled();
  await vi.advanceTimersByTimeAsync(200);
  expect(read).toHaveBeenCalledWith(null);
});

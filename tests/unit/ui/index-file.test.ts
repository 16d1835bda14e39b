import { afterEach, describe, expect, it, vi } from 'vitest';
import { Catalogue } from '../../../src/core/search/catalogue/catalogue';
import { keepCatalogue } from '../../../src/io/search-index/keep';
import { readIndex, writeIndex } from '../../../src/ui/frame/search/index-file';

/** A private file system of which each answer takes so many milliseconds. */
function slow(ms: number): void {
  const bytes = keepCatalogue(new Catalogue(), new Map([['a', '1']]));
  const after = <T>(value: T) =>
    new Promise<T>((resolve) => {
      setTimeout(() => resolve(value), ms);
    });
  const part = (some: Uint8Array) => ({ arrayBuffer: () => after(some.slice().buffer) });
  const file = {
    ...part(bytes),
    size: bytes.length,
    slice: (from: number, to: number) => part(bytes.subarray(from, to)),
  };
  const handle = { getFile: () => after(file) };
  const folder = { getFileHandle: async () => handle };
  vi.stubGlobal('navigator', {
    storage: { getDirectory: async () => ({ getDirectoryHandle: async () => folder }) },
  });
}

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

describe('the index on the disk', () => {
  it.each([
    ['is read however long all of it takes, while something comes', 3_000, true],
    ['is taken for none where nothing comes', 5_000, false],
  ])('%s', async (_, ms, comes) => {
    vi.useFakeTimers();
    slow(ms);
    const read = readIndex();
    await vi.advanceTimersByTimeAsync(20_000);
    const found = await read;
    expect(found === null ? null : [...found.stamps]).toEqual(comes ? [['a', '1']] : null);
  });

  it('is written by one after the other, and leaves no room taken that the last has found too small', async () => {
    let there: number | null = null;
    const room = 100 * 2 ** 20;
    let begun = 0;
    const write = async (b: Uint8Array) => {
      begun++;
      await new Promise((resolve) => setTimeout(resolve, 1_000));
      there = b.length;
    };
    const stream = { write, close: async () => {}, abort: async () => {} };
    const folder = { getFileHandle: async () => ({ createWritable: async () => stream }) };
    const root = {
      getDirectoryHandle: async () => folder,
      removeEntry: async () => {
        there = null;
      },
    };
    const estimate = async () => ({ usage: there ?? 0, quota: room });
    vi.stubGlobal('navigator', { storage: { getDirectory: async () => root, estimate } });
    vi.useFakeTimers();
    const part = writeIndex(() => new Uint8Array(40 * 2 ** 20));
    const whole = writeIndex(() => new Uint8Array(90 * 2 ** 20));
    await vi.advanceTimersByTimeAsync(5_000);
    expect([await part, await whole, there, begun]).toEqual([true, false, null, 1]);
  });
});

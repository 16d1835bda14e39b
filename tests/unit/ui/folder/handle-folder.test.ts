import { afterEach, expect, it, vi } from 'vitest';
import { handleFolder } from '../../../../src/ui/frame/folder/handle-folder';

class FakeFile {
  constructor(private readonly lastModified: number) {}
  readonly getFile = async () => ({ size: 1, lastModified: this.lastModified });
}

class FakeFolder {
  constructor(readonly inside: Map<string, FakeFile | FakeFolder>) {}
  readonly entries = () => new Map(this.inside)[Symbol.iterator]();
  readonly getDirectoryHandle = async (name: string) => this.inside.get(name);
  readonly removeEntry = async (name: string) => this.inside.delete(name);
}

afterEach(() => vi.unstubAllGlobals());

it('clears away what a killed browser left of a file of ours, and nothing that may still be written', async () => {
  vi.stubGlobal('FileSystemFileHandle', FakeFile);
  const hours = (n: number) => new FakeFile(Date.now() - n * 3_600_000);
  const phrases = new FakeFolder(
    new Map([
      ['tin-roof.0123abcd.json', hours(2)],
      ['tin-roof.0123abcd.json.crswap', hours(2)],
      ['old.0123abcf-2.json.1.crswap', hours(2)],
      ['being-written.0123abce.json.crswap', hours(0)],
      ['of-somebody.json.crswap', hours(2)],
    ]),
  );
  const root = new FakeFolder(
    new Map<string, FakeFile | FakeFolder>([
      ['phrases', phrases],
      ['beside.0123abcd.json.crswap', hours(2)],
    ]),
  );
  const folder = handleFolder(root as unknown as FileSystemDirectoryHandle);
  const listed = await folder.list(new Set(['phrases']));
  expect(listed.map((f) => f.path)).toEqual([
    'beside.0123abcd.json.crswap',
    'phrases/of-somebody.json.crswap',
    'phrases/tin-roof.0123abcd.json',
  ]);
  expect([...phrases.inside.keys()]).toEqual([
    'tin-roof.0123abcd.json',
    'being-written.0123abce.json.crswap',
    'of-somebody.json.crswap',
  ]);
  expect([...root.inside.keys()]).toEqual(['phrases', 'beside.0123abcd.json.crswap']);
});

it('leaves no empty file where there is no room for a new one, and what is there already', async () => {
  const full = new DOMException('full', 'QuotaExceededError');
  const texts = new Map([['there.json', 'as it was']]);
  const handleOf = (name: string) => ({
    getFile: async () => new File([texts.get(name)!], name),
    createWritable: async () => ({
      write: async () => undefined,
      abort: async () => undefined,
      close: () => Promise.reject(full),
    }),
  });
  const root = {
    getFileHandle: async (name: string, { create = false } = {}) => {
      if (!texts.has(name) && !create) throw new DOMException('none', 'NotFoundError');
      texts.set(name, texts.get(name) ?? '');
      return handleOf(name);
    },
    removeEntry: async (name: string) => texts.delete(name),
  };
  const folder = handleFolder(root as unknown as FileSystemDirectoryHandle);
  await expect(folder.write('new.json', '{}', null)).rejects.toBe(full);
  await expect(folder.write('there.json', '{}', 'as it was')).rejects.toBe(full);
  expect([...texts]).toEqual([['there.json', 'as it was']]);
});

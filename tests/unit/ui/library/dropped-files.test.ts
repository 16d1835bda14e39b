import { expect, it } from 'vitest';
import { droppedFiles } from '../../../../src/ui/library/import/dropped-files';

/** Entries as the File and Directory Entries API (WICG) has them; a folder gives two at a time. */
type Tree = { readonly [name: string]: Tree | string };
function entryOf(name: string, content: Tree | string): FileSystemEntry {
  const isDirectory = typeof content !== 'string';
  const readers = () => {
    const left = Object.entries(content).map(([n, c]) => entryOf(n, c));
    return { readEntries: (give: (some: FileSystemEntry[]) => void) => give(left.splice(0, 2)) };
  };
  const file = (give: (f: File) => void, refuse: (e: Error) => void) => {
    if (content === 'refused') refuse(new Error('no'));
    else give(new File([String(content)], name));
  };
  // As much of an entry as is asked for.
  return { name, isDirectory, isFile: !isDirectory, createReader: readers, file } as never;
}

it('finds the files in folders and what is in them, and leaves out what is not read', async () => {
  const folder = entryOf('lessons', {
    'b.json': '{}',
    'a.musicxml': '<x/>',
    '.hidden.json': '{}',
    'picture.png': 'x',
    'gone.json': 'refused',
    deeper: { 'c.mid': 'x', 'd.quick': 'x', more: { 'e.mxl': 'x' } },
  });
  const files = await droppedFiles([entryOf('alone.anything', 'x'), folder]);
  // What was dropped by itself is looked at whatever it is called: its report says why not.
  expect(files.map((f) => f.name)).toEqual([
    'alone.anything',
    'a.musicxml',
    'b.json',
    'c.mid',
    'd.quick',
    'e.mxl',
  ]);
  expect(await droppedFiles([entryOf('empty', {})])).toEqual([]);
});

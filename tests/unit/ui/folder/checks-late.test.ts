import { expect, it } from 'vitest';
import { carry } from '../../../../src/io/folder/carry';
import { FileLibrary } from '../../../../src/io/folder/file-library';
import { writeCarried } from '../../../../src/io/folder/format';
import { noNotes } from '../../../../src/io/folder/notes';
import { PHRASES } from '../../../../src/io/kinds/kinds';
import { ChecksNotCome } from '../../../../src/io/kinds/late-checks';
import { MemoryFolder } from '../../../support/memory-folder';
import { phraseNamed } from '../../../support/phrase-named';

it('waits for what checks the files, which a page fetches when it is needed', async () => {
  expect(() => PHRASES.decode('{}')).toThrow(ChecksNotCome);
  const folder = new MemoryFolder();
  const value = phraseNamed('quay', 'Quay');
  folder.set('phrases/quay.json', writeCarried({ kind: PHRASES, value }, []));
  const library = new FileLibrary([]);
  const { lines } = await carry(library, folder, noNotes(), { now: '2026-11-27T12:00:00.000Z' });
  expect(lines.map((l) => l.what)).toContain('new in the library');
  expect(library.all()).toHaveLength(1);
});

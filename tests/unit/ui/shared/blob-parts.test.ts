import { expect, it } from 'vitest';
import { blobParts } from '../../../../src/ui/shared/blob-parts';

/* A file is put together of few blobs, however long it is: each one costs when all become one. */

it('has all pieces in their order, in few blobs', async () => {
  const pieces = Array.from({ length: 90 }, (_, i) => `${i} ♭ ${'.'.repeat(64 * 1024)}`);
  const parts = blobParts();
  for (const piece of pieces) parts.add(piece);
  const all = parts.all();
  expect(all.length).toBeLessThan(12);
  expect(await new Blob([...all]).text()).toBe(pieces.join(''));
});

it('makes nothing of nothing', () => {
  expect(blobParts().all()).toEqual([]);
});

import { expect, it } from 'vitest';
import { MOST_BYTES } from '../../../../src/io/file/most-bytes';
import { workerReader } from '../../../../src/ui/library/import/worker-reader';

/* A file that is too large is refused by what the browser says of it, before it is taken into memory. */

it('refuses what has more bytes than are read without reading it', async () => {
  const large = {
    name: 'take.wav',
    size: MOST_BYTES + 1,
    arrayBuffer: () => Promise.reject(new Error('it was read')),
  } as unknown as File;
  const read = await workerReader(() => '2026-11-29T00:00:00Z').read(large);
  expect(read).toMatchObject({
    ok: false,
    problems: [{ message: expect.stringContaining('at most 135 are read') }],
  });
});

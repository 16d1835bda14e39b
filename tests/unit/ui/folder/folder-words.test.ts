import { expect, it } from 'vitest';
import { folderWords } from '../../../../src/ui/frame/folder/folder-words';

it('does not call a folder in step without saying what is left', () => {
  const state = { kind: 'in step', name: 'shared', since: 0, unreadable: [] } as const;
  expect(folderWords({ ...state, waiting: 0 })).toMatch(
    /^In step with the folder “shared” since \d\d:\d\d\.$/u,
  );
  expect(folderWords({ ...state, waiting: 1 })).toContain(
    ', but for 1 thing that changed meanwhile and is tried again.',
  );
  expect(
    folderWords({ ...state, waiting: 2, unreadable: [{ path: 'a.json', why: 'it is cut off' }] }),
  ).toMatch(/2 things that changed meanwhile and are tried again\. 1 file could not be read/u);
});

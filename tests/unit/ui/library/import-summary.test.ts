import { describe, expect, it } from 'vitest';
import type { AnyKind } from '../../../../src/io/kinds/kind';
import { COLLECTIONS } from '../../../../src/io/kinds/kinds';
import type { FileOutcome } from '../../../../src/ui/frame/importer';
import { FIRST_FILES, listedFiles, summaryOf } from '../../../../src/ui/library/import/summary';

const file = (remarks: readonly string[]): FileOutcome => {
  return { kind: 'in', name: 'a.json', phrases: [], others: [], remarks };
};

it('tells of what was put together with what is here, which is no new thing', () => {
  const about = { kind: COLLECTIONS as unknown as AnyKind, title: 'Week', id: 'c', revision: 2 };
  const joined = (how: 'joined' | 'same'): FileOutcome => {
    return { kind: 'in', name: 'a.json', phrases: [], others: [{ ...about, how }], remarks: [] };
  };
  expect(summaryOf([joined('joined')])).toBe('1 collection that was here got what it lacked.');
  expect(summaryOf([joined('joined'), joined('joined')])).toContain('2 collections that were here');
  expect(summaryOf([joined('same')])).toBe('Nothing new came in.');
  expect(summaryOf([joined('joined'), { kind: 'out', name: 'b', reasons: [] }])).toBe(
    '1 collection that was here got what it lacked; 1 file did not.',
  );
});

describe('the report of two thousand files', () => {
  it('begins with what did not come in, then with what came in otherwise', () => {
    const files = Array.from({ length: 2_000 }, () => file([]));
    files[1_500] = { kind: 'out', name: 'b.mid', reasons: ['it is cut off'] };
    files[700] = file(['a tempo was left out']);
    const listed = listedFiles(files, false);
    expect(listed).toHaveLength(FIRST_FILES);
    expect(listed.slice(0, 4)).toEqual([1_500, 700, 0, 1]);
    expect(listedFiles(files, true)).toEqual(files.map((_, i) => i));
    expect(listedFiles(files.slice(0, 100), false)).toEqual(files.slice(0, 100).map((_, i) => i));
  });
});

import { describe, expect, it } from 'vitest';
import type { AnyKind } from '../../../../src/io/kinds/kind';
import { COLLECTIONS, LESSONS, PHRASES } from '../../../../src/io/kinds/kinds';
import type { CameIn, FileOutcome } from '../../../../src/ui/frame/importer';
import {
  FIRST_FILES,
  FIRST_PLAIN,
  listedFiles,
  listedPhrases,
  summaryOf,
  toldOfOthers,
} from '../../../../src/ui/library/import/summary';

const file = (remarks: readonly string[]): FileOutcome => {
  return { kind: 'in', name: 'a.json', phrases: [], others: [], versions: 0, remarks };
};

it('tells of what was put together with what is here, which is no new thing', () => {
  const about = { kind: COLLECTIONS as unknown as AnyKind, title: 'Week', id: 'c', revision: 2 };
  const joined = (how: 'joined' | 'same'): FileOutcome => {
    return {
      kind: 'in',
      name: 'a.json',
      phrases: [],
      others: [{ ...about, how }],
      versions: 0,
      remarks: [],
    };
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
    expect(listed).toHaveLength(FIRST_PLAIN);
    expect(listed.slice(0, 4)).toEqual([1_500, 700, 0, 1]);
    expect(listedFiles(files, true)).toEqual(files.map((_, i) => i));
    const few = files.slice(0, FIRST_PLAIN);
    expect(listedFiles(few, false)).toEqual(few.map((_, i) => i));
  });

  it('names all that need somebody, up to a hundred', () => {
    const long = {
      kind: PHRASES as unknown as AnyKind,
      id: 'x',
      title: '',
      how: 'added',
      long: true,
    } as const;
    const files = Array.from({ length: 300 }, (_, i): FileOutcome => {
      const one = file([]);
      return i % 10 === 0 && one.kind === 'in' ? { ...one, phrases: [long] } : one;
    });
    const every10th = files.map((_, i) => i).filter((i) => i % 10 === 0);
    expect(listedFiles(files, false)).toEqual(every10th);
    const refused = files.map((): FileOutcome => ({ kind: 'out', name: 'b', reasons: ['cut'] }));
    expect(listedFiles(refused, false)).toHaveLength(FIRST_FILES);
  });
});

it('names of a library first what asks something of somebody, and what was here last', () => {
  const phrases = Array.from({ length: 200 }, (_, i) => {
    const how = i === 150 ? 'copied' : i === 30 ? 'older' : i % 2 === 0 ? 'same' : 'added';
    const long = i === 99 ? ({ long: true } as const) : {};
    return { kind: PHRASES as unknown as AnyKind, id: `${i}`, title: '', how, ...long } as const;
  });
  const ids = listedPhrases(phrases).map((p) => p.id);
  expect(ids).toHaveLength(FIRST_PLAIN);
  expect(ids.slice(0, 5)).toEqual(['150', '30', '99', '1', '3']);
});

it('says of what is no phrase that it came only where it did', () => {
  const one = (how: CameIn['how']) => ({
    kind: LESSONS as unknown as AnyKind,
    id: how,
    title: '',
    how,
  });
  const told = (...hows: CameIn['how'][]) => toldOfOthers({ phrases: [], others: hows.map(one) });
  expect(told('same')).toEqual(['1 lesson was here already.']);
  expect(told('added', 'same', 'copied', 'older')).toEqual([
    '2 lessons came in.',
    '1 lesson was here already.',
    '1 lesson is an earlier version of what is here, which stays.',
  ]);
  expect(told('joined', 'joined')).toEqual(['2 lessons that were here got what they lacked.']);
});

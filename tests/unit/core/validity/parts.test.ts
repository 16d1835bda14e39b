import { describe, expect, it } from 'vitest';
import type { PhrasePart } from '../../../../src/core/phrase/types';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';

const part = (notes: string, source = 'a'): PhrasePart => ({
  source,
  title: 'First',
  notes,
  octaves: 0,
  laid: 1,
});

describe('what a phrase was put together from', () => {
  const base = build('q 3/7 3/9 2/8 2/10');
  const wrong = (...parts: PhrasePart[]) =>
    checkPhrase({ ...base, parts }).map((p) => `${p.pointer} ${p.message}`);

  it('has parts with notes of their own and other sources than itself', () => {
    expect(wrong(part('1-'), part('11-'), part('2-'))).toEqual([]);
    expect(wrong(part('1-'), part('2-', base.id))).toEqual([
      '/parts/1/source the phrase is named as the source of its own part',
    ]);
    expect(wrong(part('1-1'), part('2-'), part('1-'))).toEqual([
      "/parts/0/notes '1-1' begins as '1-' of another part does",
    ]);
    expect(wrong(part('1-'), part('1-'))).toHaveLength(1);
    expect(wrong({ ...part('1-'), title: 'two\nlines' })).toHaveLength(1);
  });
});

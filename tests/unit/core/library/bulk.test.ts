import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  changedTogether,
  putBack,
  readTags,
  retagged,
  type Together,
} from '../../../../src/core/library/bulk';
import { foldText } from '../../../../src/core/library/fold';
import type { Meta } from '../../../../src/core/phrase/types';
import { phraseNamed } from '../../../support/phrase-named';

const withMeta = (meta: Partial<Meta>) => {
  const p = phraseNamed('a', 'Quay');
  return { ...p, meta: { ...p.meta, ...meta } };
};

const tag = fc.constantFrom('blues', 'Blues', 'turn', 'slow ♭7', 'slow b7', 'x');
const tags = fc.uniqueArray(tag, { maxLength: 5, selector: foldText });
const level = fc.constantFrom<Meta['level'] | null | undefined>(undefined, null, 1, 5);

describe('a change of many', () => {
  it('adds, takes away, and is put back field by field as far as nothing else has changed', () => {
    fc.assert(
      fc.property(tags, tags, tags, level, level, (own, add, gone, was, to) => {
        const before = withMeta({ tags: own, ...(was ? { level: was } : {}) });
        const wish: Together = {
          addTags: add,
          removeTags: gone,
          ...(to === undefined ? {} : { level: to }),
        };
        const after = changedTogether(before, wish);
        const folded = after.meta.tags.map(foldText);
        expect(new Set(folded).size).toBe(folded.length);
        for (const t of add) expect(folded).toContain(foldText(t));
        const added = new Set(add.map(foldText));
        for (const t of gone)
          if (!added.has(foldText(t))) expect(folded).not.toContain(foldText(t));
        expect(after.meta.level).toBe(to === undefined ? before.meta.level : (to ?? undefined));
        expect(putBack(after, before, after)).toEqual(before);
        expect(changedTogether(after, wish)).toBe(after);
        // What somebody has changed since stays.
        const since = { ...after, meta: { ...after.meta, tags: ['since'] } };
        expect(putBack(since, before, after).meta).toEqual({
          ...before.meta,
          tags: JSON.stringify(after.meta.tags) === '["since"]' ? before.meta.tags : ['since'],
        });
      }),
      { numRuns: 80 },
    );
  });

  it('renames tags in their place, merges them into one, and takes them away', () => {
    const p = withMeta({ tags: ['slow', 'Blues', 'turn', 'x'] });
    expect(retagged(p, ['blues'], 'shuffle').meta.tags).toEqual(['slow', 'shuffle', 'turn', 'x']);
    expect(retagged(p, ['BLUES', 'x'], 'turn').meta.tags).toEqual(['slow', 'turn']);
    expect(retagged(p, ['blues'], 'blues').meta.tags).toEqual(['slow', 'blues', 'turn', 'x']);
    expect(retagged(p, ['turn', 'slow'], '').meta.tags).toEqual(['Blues', 'x']);
    expect(retagged(p, ['nowhere'], 'turn')).toBe(p);
  });

  it('reads tags parted by commas', () => {
    expect(readTags(' slow  turn, , Blues,blues,x')).toEqual(['slow turn', 'Blues', 'x']);
  });
});

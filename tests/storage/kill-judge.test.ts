import { describe, expect, it } from 'vitest';
import { Judge } from '../e2e/kill/judge';
import type { Seen } from '../e2e/kill/protocol';

/* The judge of the killed browsers must find what the kills are there to find. */

type SeenPhrase = Seen['phrases'][number];
const phrase = (id: string, revision: number, title: string): SeenPhrase => ({
  id,
  revision,
  title,
  whole: true,
});

/** Session 1 was promised two writes of one phrase and a pair; what session 2 finds is judged. */
function judged(found: readonly SeenPhrase[], seen: Partial<Seen> = {}): readonly string[] {
  const judge = new Judge();
  const save = (id: string, revision: number, title: string) =>
    judge.hear(1, { kind: 'saved', id, revision, title });
  judge.hear(1, {
    kind: 'opened',
    seen: { state: 'ready', mishap: null, early: 'nothing', problems: [], phrases: [] },
  });
  save('one-1', 1, '1.1');
  save('one-1', 4, '1.6');
  save('pair-1', 2, '1.1');
  save('pair-2', 3, '1.1');
  judge.hear(2, {
    kind: 'opened',
    seen: { state: 'ready', mishap: null, early: 'nothing', problems: [], phrases: found, ...seen },
  });
  return judge.faults;
}

const PAIR = [phrase('pair-1', 2, '1.1'), phrase('pair-2', 3, '1.1')];

describe('the judge', () => {
  it('finds a list that did not begin as was shown, and what an older program had left', () => {
    const found = [phrase('one-1', 4, '1.6'), ...PAIR];
    expect(judged(found, { early: 'right' })).toEqual([]);
    expect(judged(found, { early: 'wrong' })).toHaveLength(1);
    const judge = new Judge();
    judge.hear(1, { kind: 'filled', count: 2 });
    const phrases = [phrase('old-0', 1, 'Quay')];
    judge.hear(2, {
      kind: 'opened',
      seen: { state: 'ready', mishap: null, early: 'nothing', problems: [], phrases },
    });
    expect(judge.faults).toEqual(['session 2: 1 of 2 older phrases are there']);
  });

  it('is content with what was promised, and with later writes that were under way', () => {
    expect(judged([phrase('one-1', 4, '1.6'), ...PAIR])).toEqual([]);
    expect(judged([phrase('one-1', 7, '1.11'), ...PAIR])).toEqual([]);
    expect(judged([phrase('one-1', 5, '1.6'), ...PAIR])).toEqual([]);
    const later = [phrase('pair-1', 8, '1.2'), phrase('pair-2', 9, '1.2')];
    expect(judged([phrase('one-1', 4, '1.6'), ...later])).toEqual([]);
  });

  it.each([
    ['a phrase that is gone', [...PAIR], 'one-1 is gone'],
    ['an older revision', [phrase('one-1', 1, '1.1'), ...PAIR], '4 was acknowledged'],
    ['another text under the same revision', [phrase('one-1', 4, '1.1'), ...PAIR], '1.6 was'],
    ['an older text under a later revision', [phrase('one-1', 6, '1.1'), ...PAIR], 'went back'],
    ['a mixture', [{ ...phrase('one-1', 4, '1.6'), whole: false }, ...PAIR], 'mixture'],
    ['a write nobody made', [phrase('one-1', 9, '2.1'), ...PAIR], 'future'],
    [
      'half a transaction',
      [phrase('one-1', 4, '1.6'), phrase('pair-1', 8, '1.2'), PAIR[1]!],
      'half a transaction: 1.2 and 1.1',
    ],
  ])('finds %s', (_, found, says) => {
    const faults = judged(found);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toContain(says);
  });

  it('finds a removal that did not last, an undo that did not, and half an import', () => {
    const judge = new Judge();
    judge.hear(1, { kind: 'gone', id: 'fate-1-one-1' });
    judge.hear(1, { kind: 'saved', id: 'fate-1-one-2', revision: 5, title: '1.2' });
    const half = [phrase('in-1-one-1-0', 6, '1.1'), phrase('in-1-one-1-2', 8, '1.1')];
    const phrases = [phrase('fate-1-one-1', 1, '1.1'), ...half];
    judge.hear(2, {
      kind: 'opened',
      seen: { state: 'ready', mishap: null, early: 'nothing', problems: [], phrases },
    });
    expect(judge.faults).toEqual([
      'session 2: phrase fate-1-one-2 is gone',
      'session 2: phrase fate-1-one-1 is back, its removal was acknowledged',
      'session 2: half an import: 2 phrases of in-1-one-1',
    ]);
  });

  it('finds a library that does not open, damage, and a number given twice', () => {
    const all = [phrase('one-1', 4, '1.6'), ...PAIR];
    expect(judged(all, { state: 'failed' })).toEqual(['session 2: the library is failed']);
    expect(judged(all, { problems: ['x'] })).toEqual(['session 2: record x is damaged']);
    expect(judged(all, { mishap: 'restored' })).toEqual([]);
    expect(judged(all, { mishap: 'lost' })).toEqual(['session 2: the library was lost']);
    const judge = new Judge();
    for (const id of ['one-1', 'two-1']) {
      judge.hear(1, { kind: 'saved', id, revision: 1, title: '1.1' });
    }
    judge.hear(1, { kind: 'broken', why: 'conflict' });
    expect(judge.faults).toEqual(['session 1: revision 1 was given twice', 'session 1: conflict']);
  });
});

import fc from 'fast-check';
import { expect, it } from 'vitest';
import { idList, listOfIds, packIds } from '../../../../../src/ui/frame/search/id-list';

it('is the list that was packed, as a whole and in parts', () => {
  const edge = fc.integer({ min: -2, max: 1_100 });
  fc.assert(
    fc.property(
      fc.oneof(fc.constantFrom(0, 1, 255, 256, 257, 512), fc.integer({ min: 0, max: 1_000 })),
      edge,
      edge,
      (length, a, b) => {
        const ids = Array.from({ length }, (_, i) => `id-${i * 37}`);
        const list = idList(packIds(ids));
        expect([list.length, list.all()]).toEqual([length, ids]);
        const [from, to] = [Math.min(a, b), Math.max(a, b)];
        expect(list.slice(from, to)).toEqual(ids.slice(Math.max(0, from), Math.max(0, to)));
        const some = new Set([b, a, 3].map((i) => `id-${i * 37}`));
        const among = ids.filter((id) => some.has(id));
        expect([list.among(some), listOfIds(ids).among(some)]).toEqual([among, among]);
      },
    ),
  );
});

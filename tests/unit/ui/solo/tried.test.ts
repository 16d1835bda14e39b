import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../../src/core/phrase/types';
import { MOST_TRIED, readTried } from '../../../../src/ui/solo/tried';
import { readSamples } from '../../../support/samples';

const all = readSamples().map((s) => s.phrase);
const inMetre = (beats: number) =>
  all.find((p) => p.bars.length <= 4 && p.bars.every((b) => b.meter.beats === beats))!;

/** A library: the phrase in 4/4 from a place on, one in 12/8 before it. */
function reading(size: number, from: number) {
  const asked: number[] = [];
  const load = async (ids: readonly string[]): Promise<readonly Phrase[]> => {
    asked.push(ids.length);
    return ids.map((id) => ({ ...inMetre(Number(id) >= from ? 4 : 12), id }));
  };
  const ids = Array.from({ length: size }, (_, i) => String(i));
  return { asked, tried: readTried(ids, '4/4', load) };
}

describe('the phrases that a form is tried with', () => {
  it('are those changed last, where enough of them are in its metre', async () => {
    const { asked, tried } = reading(9_000, 0);
    expect((await tried).map((p) => p.id)).toEqual(
      Array.from({ length: MOST_TRIED }, (_, i) => String(i)),
    );
    expect(asked).toEqual([MOST_TRIED]);
  });

  it('are older ones in its metre besides, where what was changed last is in another', async () => {
    const { asked, tried } = reading(9_000, 5_000);
    const found = (await tried).slice(MOST_TRIED).map((p) => p.id);
    expect(found).toEqual(Array.from({ length: 200 }, (_, i) => String(5_000 + i)));
    expect(asked).toEqual([MOST_TRIED, MOST_TRIED, MOST_TRIED]);
  });

  it('are not sought through any library to its end', async () => {
    const { asked, tried } = reading(100_000, 100_000);
    expect((await tried).length).toBe(MOST_TRIED);
    expect(asked.length).toBe(10);
  });
});

import { describe, expect, it } from 'vitest';
import { aroundOf } from '../../src/core/library/around';
import { newCollection } from '../../src/core/library/collection';
import { factsOf } from '../../src/core/library/facts';
import { foldText } from '../../src/core/library/fold';
import { sortPhrases } from '../../src/core/library/sort';
import { newUse } from '../../src/core/library/use';
import type { Phrase } from '../../src/core/phrase/types';
import { Asking, answer } from '../../src/core/search/catalogue/answer';
import { Catalogue } from '../../src/core/search/catalogue/catalogue';
import { sheetOf } from '../../src/core/search/catalogue/sheet';
import { define } from '../../src/core/search/define/define';
import { defineMatch } from '../../src/core/search/define/match';
import { MATCHES } from '../../src/core/search/match';
import { both, either } from '../../src/core/search/query/join';
import type { Query, RowStep, Search } from '../../src/core/search/query/types';
import { asksWords } from '../../src/core/search/query/wordings';
import { writeQuery } from '../../src/core/search/query/write';
import { build } from '../support/build';
import { Dice } from '../support/generate/dice';
import { seededPhrase } from '../support/generate/phrase';
import { atomOf, QUERY_KINDS, randomSearch } from '../support/queries';
import { readSamples } from '../support/samples';

const PHRASES: readonly Phrase[] = [
  ...readSamples().map((s) => s.phrase),
  ...Array.from({ length: 27 }, (_, i) => seededPhrase(i, { maxBars: 3 })),
];

const now = '2026-11-27T08:00:00Z';

/** Every third phrase is in a collection, every second was used; one of each is named that is not there. */
const AROUND = aroundOf(
  ['Week 3', 'For nobody', 'Week 4'].map((title, i) =>
    newCollection(['gone', ...PHRASES.filter((_, n) => n % 3 === i).map((p) => p.id)], {
      id: title,
      now,
      title,
    }),
  ),
  ['2026-11-20', '2026-10-02', '2025-01-31'].map((day, i) =>
    newUse(['gone', ...PHRASES.filter((_, n) => n % 5 === i).map((p) => p.id)], {
      id: day,
      now,
      day,
    }),
  ),
  '2026-11-27',
);

/** The answer by the definitions alone. */
function slowly(phrases: readonly Phrase[], { query, order }: Search): readonly string[] {
  const found = phrases.filter((p) => define(query, p, AROUND).holds);
  const facts = found.map(factsOf);
  const by = order?.by ?? (asksWords(query) ? 'match' : 'title');
  const matchOf = defineMatch(query);
  const ranks = new Map(by === 'match' ? found.map((p) => [p.id, matchOf(p)]) : []);
  const sorted = sortPhrases(facts, by, AROUND.uses)
    .map((f) => f.id)
    .sort((a, b) => (ranks.get(a) ?? 0) - (ranks.get(b) ?? 0));
  return order?.reversed ? sorted.reverse() : sorted;
}

describe('the index', () => {
  const index = new Catalogue();
  for (const p of PHRASES) index.put(sheetOf(p));
  index.setAround(AROUND);

  it.each(QUERY_KINDS)('answers %s as it is defined', (kind) => {
    let hits = 0;
    for (let seed = 0; seed < 8; seed++) {
      const d = new Dice(seed, 901);
      const query = atomOf(kind, d, d.pick(PHRASES));
      if (query === null) continue;
      const search = { query, order: null };
      const expected = slowly(PHRASES, search);
      expect(answer(index, search).ids, writeQuery(search)).toEqual(expected);
      hits += expected.length;
    }
    expect(hits).toBeGreaterThan(0);
  });

  it('answers rows with turns and gaps as they are defined, however long', () => {
    for (let seed = 0; seed < 25; seed++) {
      const d = new Dice(seed, 905);
      const row = atomOf('row', d, d.pick(PHRASES));
      if (row?.kind !== 'row') continue;
      // As it is, and of more steps than a number has bits.
      const steps = Array.from({ length: 12 }, () => row.steps).flat();
      for (const query of [row, { ...row, steps: [row.steps[0], ...steps] as const }]) {
        const search = { query, order: null };
        expect(answer(index, search).ids, writeQuery(search)).toEqual(slowly(PHRASES, search));
      }
    }
    // Of any notes and of some, all side by side, all apart or mixed, with more turns than the index knows of at once.
    for (let seed = 0; seed < 30; seed++) {
      const d = new Dice(seed, 906);
      const row = atomOf('row', d, d.pick(PHRASES));
      if (row?.kind !== 'row') continue;
      const [gaps, turns, degrees] = [d.pick([0, 0.4, 1]), d.pick([0.6, 1]), d.pick([0, 0.3])];
      const [first, ...rest] = Array.from({ length: d.int(2, 8) }, (_, i): RowStep => {
        return {
          degree: d.chance(degrees) ? d.pick(row.steps).degree : null,
          turn: i > 0 && d.chance(turns) ? d.pick(['up', 'down'] as const) : null,
          gap: i > 0 && d.chance(gaps),
          techniques: [],
        };
      });
      const over = d.chance(0.8) ? null : row.over;
      const query: Query = { ...row, over, steps: [{ ...first!, degree: null }, ...rest] };
      expect(answer(index, { query, order: null }).ids, writeQuery({ query, order: null })).toEqual(
        slowly(PHRASES, { query, order: null }),
      );
    }
    const step = (gap: boolean, turn: 'up' | null = null): RowStep => {
      return { degree: null, turn, gap, techniques: [] };
    };
    const long = build(
      Array.from({ length: 5 }, () => 'e 3/5 3/7 2/5 2/6 2/8 1/5 1/7 1/8').join(' | '),
    );
    const one = new Catalogue();
    one.put(sheetOf(long));
    const more = Array.from({ length: 33 }, (_, i) => step(i % 3 === 1));
    const held = new Set<boolean>();
    for (const extra of [[], [step(false, 'up')], [step(true, 'up')], Array(8).fill(step(true))]) {
      const query: Query = {
        kind: 'row',
        from: 'chord',
        steps: [step(false), ...more, ...extra],
        over: null,
      };
      const holds = define(query, long).holds;
      expect(answer(one, { query, order: null }).total).toBe(Number(holds));
      held.add(holds);
    }
    expect(held.size).toBe(2);
  });

  it('puts first what words fit best, as it is defined, and equal ones in the order asked for', () => {
    const ranks = new Set<number>();
    for (let seed = 0; seed < 60; seed++) {
      const d = new Dice(seed, 907);
      const { meta } = d.pick(PHRASES);
      // A title in part, its words in another order, words of elsewhere; some of the last cut short.
      const title = foldText(meta.title).split(' ');
      const from = d.int(0, title.length - 1);
      const words = d.pick([
        title.slice(from, from + d.int(1, 3)),
        [d.pick(title), d.pick(title)],
        [d.pick(title), ...foldText(d.pick([...meta.tags, meta.notes ?? '', 'I'])).split(' ')],
      ]);
      const texts = words.map((w, i): Query => {
        const end = i === words.length - 1 && d.chance(0.4) ? d.int(1, 4) : w.length;
        return { kind: 'text', text: w.slice(d.chance(0.1) ? 1 : 0, end) };
      });
      const more = d.chance(0.3)
        ? [atomOf(d.pick(['numeral', 'degree', 'in']), d, PHRASES[0]!)!]
        : [];
      const query = d.chance(0.8) ? both([...texts, ...more]) : either([...texts, ...more]);
      const reversed = d.chance(0.2);
      const search = { query, order: reversed ? ({ by: 'match', reversed } as const) : null };
      const found = slowly(PHRASES, search);
      expect(answer(index, search).ids, writeQuery(search)).toEqual(found);
      const matchOf = defineMatch(query);
      for (const p of PHRASES) if (found.includes(p.id)) ranks.add(matchOf(p));
    }
    expect([...ranks].sort((a, b) => a - b)).toEqual(Array.from({ length: MATCHES }, (_, i) => i));
  });

  it('answers joined, negated and sorted queries as they are defined', () => {
    for (let seed = 0; seed < 25; seed++) {
      const d = new Dice(seed, 902);
      const search = randomSearch(d, d.pick(PHRASES));
      const expected = slowly(PHRASES, search);
      expect(answer(index, search).ids, writeQuery(search)).toEqual(expected);
      // The same in slices, with the first of it told before, or in between.
      const asking = new Asking(index, search);
      const many = d.int(0, 40);
      if (d.chance(0.5)) asking.goOn(() => true);
      expect(asking.first(many), writeQuery(search)).toEqual(expected.slice(0, many));
      let whole = asking.goOn(() => true);
      for (let i = 0; i < 20 && whole === null; i++) whole = asking.goOn(() => true);
      expect(whole).toEqual({ total: expected.length, ids: expected });
    }
  });

  it('stays right while phrases come, change and go', () => {
    const d = new Dice(3, 903);
    const here = new Map<string, Phrase>();
    const moving = new Catalogue();
    moving.setAround(AROUND);
    for (let step = 0; step < 120; step++) {
      const p = d.pick(PHRASES);
      const changed = { ...p, meta: { ...p.meta, title: `${p.meta.title} ${step}` } };
      if (d.chance(0.3)) {
        here.delete(p.id);
        moving.delete(p.id);
      } else {
        here.set(p.id, changed);
        moving.put(sheetOf(changed));
      }
      if (step % 12 !== 0) continue;
      const search = randomSearch(d, p);
      expect(answer(moving, search).ids, writeQuery(search)).toEqual(
        slowly([...here.values()], search),
      );
    }
    expect(moving.size).toBe(here.size);
  });
});

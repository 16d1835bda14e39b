import { distance } from 'fastest-levenshtein';
import { describe, expect, it } from 'vitest';
import { sheetOf } from '../../../../src/core/search/catalogue/sheet';
import { Finder } from '../../../../src/core/search/finder';
import { Dice } from '../../../support/generate/dice';
import { readSamples } from '../../../support/samples';

const samples = readSamples().map((s) => s.phrase);
const finder = new Finder(distance);
for (const p of samples) finder.put(sheetOf(p));

/** The texts of which a sample does not come first, with what does. */
function notFirst(texts: (title: string) => readonly string[]): readonly string[] {
  const missed: string[] = [];
  for (const { id, meta } of samples) {
    for (const text of texts(meta.title)) {
      const found = finder.ask(text, { chosen: null, usual: 'begin' });
      if (found.ok && found.value.ids[0] === id) continue;
      const place = found.ok ? found.value.ids.indexOf(id) : 'refused';
      missed.push(`${text}: ${place}`);
    }
  }
  return missed;
}

const wordsOf = (title: string) => title.split(/[\s,]+/u);

/** Two words of it, in its order, that no other title has. */
function pairs(title: string): readonly string[] {
  const words = wordsOf(title);
  const others = samples.map((p) => p.meta.title).filter((t) => t !== title);
  return words.flatMap((a, i) =>
    words
      .slice(i + 1)
      .filter((b) => !others.some((t) => wordsOf(t).includes(a) && wordsOf(t).includes(b)))
      .map((b) => `${a} ${b}`),
  );
}

/** One slip in a word of four letters or more: a letter left out, doubled, another, or two that changed places. */
function slip(text: string, seed: number): string {
  const d = new Dice(seed, 971);
  const words = text.split(' ');
  const long = words.flatMap((w, i) => (/^\p{L}{4,}$/u.test(w) ? [i] : []));
  if (long.length === 0) return text;
  const n = d.pick(long);
  const w = words[n]!;
  const at = d.int(1, w.length - 2);
  const [a, b] = [w[at]!, w[at + 1]!];
  const slips = [
    w.slice(0, at) + w.slice(at + 1),
    w.slice(0, at) + a + w.slice(at),
    w.slice(0, at) + d.pick([...'etaoinsr']) + w.slice(at + 1),
    w.slice(0, at) + b + a + w.slice(at + 2),
  ];
  words[n] = d.pick(slips);
  return words.join(' ');
}

describe('words of a title', () => {
  it('bring its phrase first', () => {
    expect(notFirst((t) => [t, t.toLowerCase()])).toEqual([]);
    expect(notFirst(pairs)).toEqual([]);
  });

  it('bring it first with a slip in one of them', () => {
    const slips = (many: number) => (text: string) =>
      Array.from({ length: many }, (_, i) => slip(text, i));
    expect(notFirst(slips(4))).toEqual([]);
    // A slip that something says as it is, of which nobody can know: 'more', 'entire'.
    const said = ['the More: -1', 'Low Tire: -1'];
    expect(notFirst((t) => pairs(t).flatMap(slips(2)))).toEqual(said);
  });
});

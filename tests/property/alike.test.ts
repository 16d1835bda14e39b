import { describe, expect, it } from 'vitest';
import { AlikeIndex } from '../../src/core/search/alike/alike';
import { unlikeness, unlikenessTo } from '../../src/core/search/alike/distance';
import { type AlikeLine, alikeLine, alikeLineIn } from '../../src/core/search/alike/line';
import { Lists } from '../../src/core/search/alike/lists';
import { Catalogue } from '../../src/core/search/catalogue/catalogue';
import { sheetOf } from '../../src/core/search/catalogue/sheet';
import { bruteUnlikeness } from '../support/brute-alike';
import { Dice } from '../support/generate/dice';
import { seededPhrase } from '../support/generate/phrase';

/** A melody over few pitches and times, so that much is alike by chance. */
function randomLine(d: Dice): AlikeLine {
  const n = d.int(0, d.chance(0.2) ? 40 : 12);
  const onsets = [0];
  for (let i = 0; i < n; i++) onsets.push(onsets[i]! + d.pick([2520, 5040, 5040, 7560, 10_080]));
  const pitches = Array.from({ length: n }, () => d.int(48, 56));
  return { pitches, degrees: pitches.map((p) => (d.chance(0.8) ? p % 12 : d.int(0, 34))), onsets };
}

/** The same with up to three notes of another pitch, left out, or twice, in another key. */
function varied(line: AlikeLine, d: Dice): AlikeLine {
  const by = d.int(-6, 6);
  const notes = Array.from(line.pitches, (pitch, i) => ({
    pitch: pitch + by,
    degree: line.degrees[i]!,
    time: line.onsets[i + 1]! - line.onsets[i]!,
  }));
  for (let k = d.int(0, 3); k > 0 && notes.length > 0; k--) {
    const at = d.int(0, notes.length - 1);
    const note = notes[at]!;
    const how = d.int(0, 2);
    if (how === 0) notes[at] = { ...note, pitch: note.pitch + d.int(1, 3), degree: d.int(0, 34) };
    else if (how === 1) notes.splice(at, 1);
    else notes.splice(at, 1, { ...note, time: note.time / 2 }, { ...note, time: note.time / 2 });
  }
  const onsets = [0];
  for (const [i, n] of notes.entries()) onsets.push(onsets[i]! + n.time);
  return { pitches: notes.map((n) => n.pitch), degrees: notes.map((n) => n.degree), onsets };
}

describe('how unlike two melodies are', () => {
  it('is what the definition says, and more than a bound where it gives up', () => {
    let [held, gave] = [0, 0];
    for (let seed = 0; seed < 150; seed++) {
      const d = new Dice(seed, 931);
      const a = randomLine(d);
      const to = unlikenessTo(a);
      for (const b of [randomLine(d), varied(a, d), varied(a, d)]) {
        const exact = bruteUnlikeness(a, b);
        expect(to(b), `seed ${seed}`).toBeCloseTo(exact, 9);
        const bound = exact * d.pick([0, 0.5, 0.99, 1, 1.01, 1.5]);
        const told = to(b, bound);
        if (bound >= exact) {
          held++;
          expect(told, `seed ${seed}`).toBe(to(b));
        } else {
          gave++;
          expect(told, `seed ${seed}`).toBeGreaterThan(bound);
        }
      }
    }
    expect(Math.min(held, gave)).toBeGreaterThan(100);
  });
});

describe('more like this', () => {
  it('answers as comparing with everything does, where a library is small', () => {
    for (let seed = 0; seed < 6; seed++) {
      const d = new Dice(seed, 932);
      const lines = Array.from({ length: 30 }, () => randomLine(d));
      lines.push(...lines.slice(0, 20).map((l) => varied(l, d)));
      const index = new AlikeIndex();
      for (const [i, line] of lines.entries()) index.put(i, line);
      const gone = new Set([d.int(0, 49), d.int(0, 49)]);
      for (const n of gone) index.delete(n);
      const line = varied(d.pick(lines), d);
      // All that share anything at all with it.
      const all = index.find(line, 50);
      const brute = all
        .map(({ number }) => ({ number, unlikeness: unlikeness(line, lines[number]!) }))
        .sort((x, y) => x.unlikeness - y.unlikeness || x.number - y.number);
      expect(all).toEqual(brute);
      for (const most of [1, 3, 10]) expect(index.find(line, most)).toEqual(brute.slice(0, most));
      expect(all.some((f) => gone.has(f.number))).toBe(false);
    }
  });

  it('reads a melody off the notes of a library as off the phrase', () => {
    const catalogue = new Catalogue();
    for (let i = 0; i < 10; i++) {
      const sheet = sheetOf(seededPhrase(i));
      catalogue.put(sheet);
      const [from, to] = [catalogue.firstNote.values[i]!, catalogue.firstNote.values[i + 1]!];
      expect(alikeLineIn(catalogue.pool, from, to)).toEqual(alikeLine(sheet));
    }
  });
});

describe('lists of numbers in blocks', () => {
  it('hold what arrays would hold', () => {
    const d = new Dice(1, 933);
    const lists = new Lists(8);
    const arrays = Array.from({ length: 8 }, (): number[] => []);
    for (let n = 0; n < 900; n++) {
      for (let k = 0; k < 8; k++) {
        if (!d.chance(1 / (k + 1))) continue;
        lists.push(k, n);
        // Twice in a row is once.
        if (d.chance(0.3)) lists.push(k, n);
        arrays[k]!.push(n);
      }
    }
    for (const [k, expected] of arrays.entries()) {
      expect(lists.count(k)).toBe(expected.length);
      for (const most of [0, 1, 3, 4, 100, 250, 502, 1000]) {
        const [scores, touched] = [new Float32Array(900), new Uint32Array(1000)];
        const taken = lists.score(k, 2, scores, touched, 0, most);
        const last = expected.slice(Math.max(0, expected.length - most)).reverse();
        expect([...touched.subarray(0, taken)]).toEqual(last);
        expect([...scores.keys()].filter((n) => scores[n] === 2)).toEqual(
          last.sort((x, y) => x - y),
        );
      }
    }
  });
});

import { describe, expect, it } from 'vitest';
import { type Phrase, TICKS_PER_QUARTER } from '../../../src/core/phrase/types';
import { inkPhrase } from '../../../src/engrave/engrave';
import type { Ink } from '../../../src/engrave/ink/pen';
import { findOutside, findOverlaps, MAY_TOUCH } from '../../../src/engrave/ink/touching';
import type { Staves } from '../../../src/engrave/options';
import { build } from '../../support/build';
import { degreesOf, geometryFaults, MOST_OFFSET, offsets, pageOf } from '../../support/engraving';
import { readSamples } from '../../support/samples';

const STAVES: readonly Staves[] = ['both', 'staff', 'tab', 'degrees'];

describe('nothing runs into anything, leaves the page or stands off its notehead', () => {
  it('in every sample, on a phone and on a wide page, in every choice of staves', () => {
    for (const { name, phrase } of readSamples()) {
      const degrees = degreesOf(phrase);
      for (const staves of STAVES) {
        for (const width of [340, 900]) {
          expect(geometryFaults(phrase, { staves, width, degrees }), `${name} ${staves}`).toEqual(
            [],
          );
        }
      }
    }
  });

  it('in 150 generated phrases (2,000 in tests/scripts/geometry-sweep.ts)', () => {
    for (let seed = 0; seed < 150; seed++) {
      const { phrase, options } = pageOf(seed);
      expect(geometryFaults(phrase, options), `seed ${seed}`).toEqual([]);
    }
  });
});

describe('bends of notes struck together', () => {
  it.each([
    ['over ledger lines', 'w 2/20(bend:A5)+3/20(bend:F5)'],
    ['with accidentals', 'w 1/17(bend:B5)+2/17(bend:F#5)'],
    ['over a third note', 'w 1/8(bend:D5)+2/8(bend:A4)+3/7'],
    ['on the staff', 'w 2/8(bend:A4)+3/7(bend:E4)'],
  ])('each begins at its note, %s', (_, line) => {
    const p = build(line);
    const options = { width: 600, staves: 'staff', degrees: degreesOf(p) } as const;
    expect(geometryFaults(p, options)).toEqual([]);
    const [page] = inkPhrase(p, options);
    const arrows = new Map<number, number>();
    for (const k of page!.ink.filter((i) => i.kind === 'bend-angle'))
      arrows.set(k.sign, Math.min(k.x0, arrows.get(k.sign) ?? Number.POSITIVE_INFINITY));
    const begins = [...arrows.values()];
    expect(begins).toHaveLength(2);
    expect(Math.abs(begins[0]! - begins[1]!)).toBeLessThan(1);
  });
});

interface Page {
  readonly phrase: Phrase;
  readonly staves: Staves;
}

/** A bar of 4/4 and one of 3/4. */
function intoThree(line: string): Phrase {
  const p = build(line, { bars: 2 });
  const three = { meter: { beats: 3, beatType: 4 } as const };
  return { ...p, bars: [p.bars[0]!, three], length: 7 * TICKS_PER_QUARTER };
}

describe('the geometry test itself', () => {
  const phrase = build('q 3/5(bend:D4)+2/8 2/6(vib) e 4/7@pm 4/5@pm q 1/5 | h 2/5+3/5 2/3', {
    chords: 'C7 | F7',
    key: 'F',
  });
  const [page] = inkPhrase(phrase, { width: 800, degrees: degreesOf(phrase) });
  const ink = page!.ink;

  /** The page with one sign moved. */
  function moved(sign: number, dx: number, dy: number): readonly Ink[] {
    return ink.map((k) =>
      k.sign === sign ? { ...k, x0: k.x0 + dx, x1: k.x1 + dx, y0: k.y0 + dy, y1: k.y1 + dy } : k,
    );
  }

  const kindsOf = (list: readonly Ink[]) =>
    findOverlaps(list).map(({ a, b }) => [a.kind, b.kind].sort().join(' '));

  it('finds the page clear as it is', () => {
    expect(kindsOf(ink)).toEqual([]);
  });

  it('catches a fret that was moved onto the next one', () => {
    const frets = ink.filter((k) => k.kind === 'fret').sort((a, b) => a.x0 - b.x0);
    const upper = frets
      .filter((k) => Math.abs(k.x0 - frets[0]!.x0) < 3)
      .sort((a, b) => a.y0 - b.y0);
    expect(upper).toHaveLength(2);
    expect(kindsOf(moved(upper[0]!.sign, 0, 8))).toContain('fret fret');
  });

  it('catches a chord symbol that slipped down into the notes', () => {
    const chord = ink.find((k) => k.kind === 'chord')!;
    const head = ink.filter((k) => k.kind === 'notehead').sort((a, b) => a.x0 - b.x0)[0]!;
    const found = kindsOf(moved(chord.sign, head.x0 - chord.x0, head.y0 - chord.y0));
    expect(found).toContain('chord notehead');
  });

  it('catches a degree that grew into its neighbour', () => {
    const degrees = ink.filter((k) => k.kind === 'degree').sort((a, b) => a.x0 - b.x0);
    const last = degrees.at(-1)!;
    const before = degrees.filter((k) => k.x1 < last.x0 && Math.abs(k.y1 - last.y1) < 3).at(-1)!;
    expect(kindsOf(moved(before.sign, last.x0 - before.x1 + 1, 0))).toContain('degree degree');
  });

  it('catches a bend that was pushed through another sign, and ink beyond the edge', () => {
    const bend = ink.find((k) => k.kind === 'bend')!;
    const vibrato = ink.find((k) => k.kind === 'vibrato')!;
    expect(kindsOf(moved(bend.sign, vibrato.x0 + 10 - bend.x0, 0))).toContain('bend vibrato');
    const outside = moved(bend.sign, 2_000, 0);
    const edge = { x0: 0, y0: 0, x1: page!.units.width, y1: page!.units.height };
    expect(findOutside(outside, edge).map((k) => k.kind)).toContain('bend');
  });

  it('measures how far a fret stands from its notehead', () => {
    const off = page!.hits.notes.map((h) =>
      h.row === 'tab' ? { ...h, x0: h.x0 + 1, x1: h.x1 + 1 } : h,
    );
    const worst = offsets(phrase, { ...page!, hits: { ...page!.hits, notes: off } });
    expect(Math.max(...worst.map((o) => o.off))).toBeGreaterThan(MOST_OFFSET);
    expect(Math.max(...offsets(phrase, page!).map((o) => o.off))).toBeLessThan(0.05);
  });

  it('lets no pair touch that never has to', () => {
    // Together these pages need every row of the table.
    const both = (line: string, second?: string): Page => ({
      phrase: build(line, second === undefined ? {} : { second }),
      staves: 'both',
    });
    const pages: readonly Page[] = [
      both('q 3/5(bend:D4) 3/7(in:below) 1/15 2/8+3/9@sdown | q 3/9 3/7(out:up) h 4/7'),
      both('h. 4/5 q 4/7 | q 4/9(h) 3/7 h 3/5'),
      both('h. 3/5 q 3/7 | q 3/9(s) 3/7 h 3/5'),
      both('q. 3/5 3/7 h 3/5 q. 2/5 q 2/5'),
      { ...both('q. 3/5 3/7 h 3/5 q. 2/5 q 2/5'), staves: 'tab' },
      both('h 1/5 1/7(s) | h 1/9(h) 1/5', 'q - 6/5(bend:B2) h - | q - 6/5(bend:B2) h -'),
      { phrase: intoThree('h. 4/5 q 4/7 4/9(h) 3/7 3/5'), staves: 'both' },
      { phrase: intoThree('h. 4/5 q 4/7 4/9(h) 3/7 3/5'), staves: 'tab' },
      { phrase: intoThree('h. 3/5 q 3/7 3/9(S) 3/7 3/5'), staves: 'both' },
      { phrase: intoThree('h. 3/5 h 3/7 q 3/7 3/5'), staves: 'both' },
      { ...pageOf(27), staves: 'both' },
      { ...pageOf(27), staves: 'staff' },
    ];
    const pairs = pages.flatMap(({ phrase: p, staves }) =>
      inkPhrase(p, { width: p.bars.length > 3 ? 420 : 900, staves }).flatMap((s) =>
        findOverlaps(s.ink, 0.25, () => false).map((o) => [o.a.kind, o.b.kind] as const),
      ),
    );
    const needed = ([a, b]: (typeof MAY_TOUCH)[number]) =>
      pairs.some(([x, y]) =>
        b === '*' ? x === a || y === a : (x === a && y === b) || (x === b && y === a),
      );
    expect(MAY_TOUCH.filter((row) => !needed(row)).map(([a, b]) => `${a} ${b}`)).toEqual([]);
  });
});

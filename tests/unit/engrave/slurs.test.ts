import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../src/core/phrase/types';
import { inkPhrase } from '../../../src/engrave/engrave';
import type { InkKind } from '../../../src/engrave/ink/kinds';
import type { Ink } from '../../../src/engrave/ink/pen';
import type { EngraveOptions } from '../../../src/engrave/options';
import { build } from '../../support/build';
import { pageOf } from '../../support/engraving';
import { readSamples } from '../../support/samples';

/** What a slur may begin or end at: its note with stem, flag and beam, and what stands around it. */
const OF_A_NOTE = new Set<InkKind>([
  'notehead',
  'stem',
  'flag',
  'beam',
  'accidental',
  'parenthesis',
  'articulation',
]);

/** How far each end of each slur is from the note it stands at, in units, ten to a staff space. */
function slurEnds(p: Phrase, o: EngraveOptions): readonly number[] {
  return inkPhrase(p, o).flatMap((s) => {
    const slurs = new Map<number, Ink[]>();
    for (const k of s.ink)
      if (k.kind === 'slur') slurs.set(k.sign, [...(slurs.get(k.sign) ?? []), k]);
    return [...slurs.values()].flatMap((pieces) => {
      const first = pieces.reduce((a, b) => (b.x0 < a.x0 ? b : a));
      const last = pieces.reduce((a, b) => (b.x1 > a.x1 ? b : a));
      return [distance(s.ink, first, first.x0), distance(s.ink, last, last.x1)];
    });
  });
}

function distance(ink: readonly Ink[], end: Ink, x: number): number {
  const near = ink.filter((k) => OF_A_NOTE.has(k.kind) && k.x0 < x + 5 && k.x1 > x - 5);
  // Cut by the end of a line, a slur begins or ends beside no note.
  if (near.length === 0) return 0;
  const y = (end.y0 + end.y1) / 2;
  return Math.min(...near.map((k) => Math.max(k.y0 - y, y - k.y1, 0)));
}

describe('slurs begin and end at their notes', () => {
  const page = { width: 900, staves: 'both' } as const;

  it.each([
    ['over a flag, to a stem that points up', 'q - e 2/3(h) 2/5(h) h -', 'w 5/0'],
    ['over beams', 's 3/5 3/7(h) 3/5(p) 3/4(p) q 2/5 h -', 'w 6/0'],
    ['under beams', 'w 1/5', 's 4/2 4/4(h) 4/2(p) 5/3 q 5/5 h -'],
    ['from a stem down to a beam above', 'e 3/0 s - 3/3 e 3/5(h) 5/3 h -', undefined],
    ['from a flag down to one up', 'e - s 3/3 3/5(h) e 4/2 - h -', undefined],
    ['over a high note between two low ones', 'e 4/2 4/4(h) 4/12(h) 4/2(p) h -', undefined],
  ])('%s', (_, line, second) => {
    const ends = slurEnds(build(line, second === undefined ? {} : { second }), page);
    expect(ends.length).toBeGreaterThan(0);
    expect(Math.max(...ends)).toBeLessThan(6);
  });

  it('in every sample', () => {
    for (const { name, phrase } of readSamples()) {
      expect(Math.max(0, ...slurEnds(phrase, page)), name).toBeLessThan(10);
    }
  });

  it('in generated phrases, where a crowded bar may push one in fifty away', () => {
    const ends = Array.from({ length: 150 }, (_, seed) => {
      const { phrase, options } = pageOf(seed);
      return slurEnds(phrase, { ...options, staves: 'both' });
    }).flat();
    expect(ends.length).toBeGreaterThan(500);
    expect(ends.filter((d) => d > 14).length / ends.length).toBeLessThan(0.02);
  });
});

import { describe, expect, it } from 'vitest';
import { inkPhrase } from '../../../src/engrave/engrave';
import type { InkKind } from '../../../src/engrave/ink/kinds';
import type { Ink } from '../../../src/engrave/ink/pen';
import type { Staves } from '../../../src/engrave/options';
import { type BuildOptions, build } from '../../support/build';

function inkOf(line: string, o: BuildOptions = {}, staves: Staves = 'both'): readonly Ink[] {
  const [page] = inkPhrase(build(line, o), { width: 900, staves, tempo: false });
  return page!.ink;
}

const of = (ink: readonly Ink[], kind: InkKind) => ink.filter((k) => k.kind === kind);
const left = (ink: readonly Ink[]) => Math.min(...ink.map((k) => k.x0));
const right = (ink: readonly Ink[]) => Math.max(...ink.map((k) => k.x1));

describe('a wavy line lasts as long as its note', () => {
  it.each([
    ['vibrato', 'h 2/8(vib) -', 'both'],
    ['vibrato', 'h 2/8(vib:wide) -', 'staff'],
    ['trill', 'h 2/8(tr:A4) -', 'both'],
    ['trill', 'h 2/8(tr:A4) -', 'tab'],
  ] as const)('%s ends before the rest in %s (%s)', (kind, line, staves) => {
    const ink = inkOf(line, {}, staves);
    expect(right(of(ink, kind))).toBeLessThan(left(of(ink, 'rest')));
    // And does not end long before it either.
    expect(right(of(ink, kind))).toBeGreaterThan(left(of(ink, 'rest')) - 20);
  });

  it('ends with its note where the other voice goes on', () => {
    const ink = inkOf('h 2/8(vib) -', { second: 'h 5/3 q 5/5 5/7' });
    const frets = of(ink, 'fret').sort((a, b) => a.x0 - b.x0);
    expect(frets).toHaveLength(4);
    expect(right(of(ink, 'vibrato'))).toBeLessThan(frets[2]!.x0);
  });

  it('goes on to the bar line through a note that lasts so long', () => {
    const ink = inkOf('w 2/8(vib)', { bars: 1 });
    const wide = inkOf('w 2/8(vib:wide) | e 1/5 1/7 1/8 1/10 1/12 1/10 1/8 1/7', {
      second: 'e 5/3 5/5 5/7 5/3 5/5 5/7 5/3 5/5 | w 6/3',
    });
    expect(right(of(ink, 'vibrato'))).toBeGreaterThan(left(of(ink, 'barline').slice(1)) - 12);
    const end = of(wide, 'barline')
      .map((k) => k.x0)
      .filter((x) => x > right(of(wide, 'vibrato')));
    expect(Math.min(...end) - right(of(wide, 'vibrato'))).toBeLessThan(12);
    expect(of(wide, 'vibrato')[0]!.x1 - of(wide, 'vibrato')[0]!.x0).toBeGreaterThan(200);
  });

  it('stays short of the note after a short one', () => {
    const ink = inkOf('t 2/8(vib:wide) 2/5 2/8(tr:A4) 2/5 e 2/8 q 2/5 h 2/8');
    const frets = of(ink, 'fret').sort((a, b) => a.x0 - b.x0);
    expect(right(of(ink, 'vibrato'))).toBeLessThan(frets[1]!.x0);
    // The trill's upper fret stands in parentheses after its own.
    expect(right(of(ink, 'trill'))).toBeLessThan(frets[4]!.x0);
  });
});

/** Least room between two kinds where they stand over each other, or beside each other. */
function roomBetween(
  ink: readonly Ink[],
  a: InkKind,
  b: InkKind,
  way: 'across' | 'upright',
): readonly number[] {
  const across = way === 'across';
  return of(ink, a).flatMap((k) =>
    of(ink, b).flatMap((m) => {
      const beside = k.y0 < m.y1 - 2 && m.y0 < k.y1 - 2;
      const over = k.x0 < m.x1 && m.x0 < k.x1;
      if (!(across ? beside : over)) return [];
      return across ? [Math.max(k.x0 - m.x1, m.x0 - k.x1)] : [Math.max(k.y0 - m.y1, m.y0 - k.y1)];
    }),
  );
}

describe('parentheses', () => {
  it('of ghost notes and unheard starts keep off the stems, alone and under beams', () => {
    const ink = inkOf(
      'e 3/5(ghost) 3/7(ghost) q 2/5(ghost)+3/5(ghost) e 4/7(ghost) 4/5(ghost) q 4/7(pre:B4) | ' +
        'e 4/7(ghost) - h 1/5(ghost)+2/5(ghost)+3/6(ghost) q 5/3(ghost)',
    );
    const room = roomBetween(ink, 'parenthesis', 'stem', 'across');
    expect(room.length).toBeGreaterThan(8);
    expect(Math.min(...room)).toBeGreaterThan(2.3);
  });

  it('stand at their head and not beyond its flag', () => {
    for (const value of ['e', 's', 't']) {
      const ink = inkOf(`q - ${value} 4/7(ghost) ${value === 'e' ? '-' : '- -'} h -`, { bars: 1 });
      const [head] = of(ink, 'notehead');
      expect(of(ink, 'flag')).not.toHaveLength(0);
      expect(right(of(ink, 'parenthesis')) - head!.x1, value).toBeLessThan(8.5);
    }
  });
});

describe('signs over and under the tablature', () => {
  it('keep wide vibrato off a slide away on the first string', () => {
    const ink = inkOf('q 1/8(vib:wide,out:up) - 1/8(vib:wide,out:down) -');
    const room = roomBetween(ink, 'vibrato', 'slide-out', 'upright').filter((d) => d < 20);
    expect(room.length).toBeGreaterThan(1);
    expect(Math.min(...room)).toBeGreaterThan(6.5);
  });

  it('say H and P over small notes too', () => {
    const letters = (line: string, staves: Staves = 'both') =>
      new Set(of(inkOf(line, {}, staves), 'letter').map((k) => k.sign)).size;
    expect(letters('q 3/7(h)@g:3/5 - 2/5 -')).toBe(1);
    expect(letters('q 2/5(p)@g:2/8 - 2/5 -', 'tab')).toBe(1);
    expect(letters('q 2/8(h)@g:2/5;2/7~h - 2/5 -')).toBe(2);
    // Both strings at once are one letter; what is not joined, and a slide, has none.
    expect(letters('q 2/8(h)+3/7(h)@g:2/5&3/5 - 2/5 -')).toBe(1);
    expect(letters('q 2/8@g:2/5 - 2/5 -')).toBe(0);
    expect(letters('q 2/8(s)@g:2/5 - 2/5 -')).toBe(0);
  });

  it('put such a letter over the arc, clear of it', () => {
    const ink = inkOf('q 1/7(h)@g:1/5 - 2/5 -');
    const [letter] = of(ink, 'letter');
    const arc = of(ink, 'tab-slur');
    const middle = (left(arc) + right(arc)) / 2;
    expect(Math.abs((letter!.x0 + letter!.x1) / 2 - middle)).toBeLessThan(1.5);
    expect(letter!.y1).toBeLessThan(Math.min(...arc.map((k) => k.y0)) - 1);
  });

  it('keep fingers of both hands off the lowest string and its numbers, and off each other', () => {
    const ink = inkOf('q 6/3(pk:p,f:3) 5/0(pk:p) 6/0(pk:p)+1/3(pk:a) 6/3(f:3)');
    for (const [a, b] of [
      ['finger', 'fret'],
      ['pluck', 'fret'],
      ['pluck', 'finger'],
      ['pluck', 'tab-line'],
    ] as const) {
      const room = roomBetween(ink, a, b, 'upright').filter((d) => d < 40);
      expect(room.length, `${a} ${b}`).toBeGreaterThan(0);
      expect(Math.min(...room), `${a} ${b}`).toBeGreaterThan(4.5);
    }
  });
});

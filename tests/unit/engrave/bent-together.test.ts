import { describe, expect, it } from 'vitest';
import { inkPhrase } from '../../../src/engrave/engrave';
import type { InkKind } from '../../../src/engrave/ink/kinds';
import type { Ink } from '../../../src/engrave/ink/pen';
import type { InkedSystem } from '../../../src/engrave/page/system';
import { type BuildOptions, build } from '../../support/build';
import { geometryFaults } from '../../support/engraving';
import { SIGN_SHEET } from '../../support/sign-sheet';

function pageOf(line: string, o: BuildOptions = {}, staves: 'both' | 'staff' | 'tab' = 'both') {
  const [page] = inkPhrase(build(line, o), { width: 900, staves, tempo: false });
  return page!;
}

const signsOf = ({ ink }: InkedSystem, kind: InkKind) => {
  const signs = new Map<number, Ink[]>();
  for (const k of ink) if (k.kind === kind) signs.set(k.sign, [...(signs.get(k.sign) ?? []), k]);
  return [...signs.values()];
};
const left = (ink: readonly Ink[]) => Math.min(...ink.map((k) => k.x0));
const right = (ink: readonly Ink[]) => Math.max(...ink.map((k) => k.x1));
const middleY = (k: Ink) => (k.y0 + k.y1) / 2;

describe('two strings bent by unequal widths', () => {
  it.each([
    ['½ above a whole tone', 'h 3/5=C(bend:D4)+2/5=E(bend:F4) -'],
    ['a whole tone above ½', 'h 3/7=D(bend:Eb4)+2/6=F(bend:G4) -'],
    ['both with an accidental', 'h 3/7=D(bend:Eb4)+2/7=F#(bend:G#4) -'],
    ['dotted, high', 'h. 2/13=C(bend:D5)+1/13=F(bend:F#5) q -'],
  ])('each arrow begins at its own note: %s', (_, line) => {
    const page = pageOf(line);
    const arrows = signsOf(page, 'bend-angle').map(left);
    expect(arrows).toHaveLength(2);
    expect(Math.abs(arrows[0]! - arrows[1]!)).toBeLessThan(1);
  });

  it('have their unheard starts in one pair of parentheses, clear of stem and heads', () => {
    const page = pageOf('q 3/5=C(pre:D4)+2/5=E(pre:F4) h - q 4/7(ghost)+2/5(ghost)');
    const [pair, ...single] = signsOf(page, 'parenthesis');
    expect(pair).toHaveLength(2);
    // Apart by more than a third each head has its own.
    expect(single).toHaveLength(2);
    const heads = page.ink.filter((k) => k.kind === 'notehead' && k.x1 < right(pair!));
    expect(heads).toHaveLength(2);
    for (const k of pair!) {
      expect(k.y0).toBeLessThan(Math.min(...heads.map((h) => h.y0)));
      expect(k.y1).toBeGreaterThan(Math.max(...heads.map((h) => h.y1)));
    }
  });

  it('say which string is shaken where the other is held still', () => {
    const numbers = (line: string) =>
      [...pageOf(line).svg.matchAll(/a6 6 0 0 1/gu)].length / 4 || 0;
    expect(numbers('h 3/5(bend:D4,vib)+2/5(bend:F4) -')).toBe(1);
    expect(numbers('h 3/5(bend:D4,vib)+2/5(bend:F4,vib) -')).toBe(0);
    expect(numbers('h 3/5(bend:D4,vib)+2/5(bend:F4,vib:wide) -')).toBe(2);
    expect(numbers('h 3/5(bend:D4,vib) -')).toBe(0);
    const wave = (line: string) => signsOf(pageOf(line), 'vibrato')[0]!;
    const both = wave('h 3/5(vib)+2/5(vib) -');
    const one = wave('h 3/5(vib)+2/5 -');
    expect(Math.abs(left(one) - left(both))).toBeLessThan(2);
    expect(right(one)).toBeLessThanOrEqual(right(both) + 6);
  });
});

describe('a note that is tied on', () => {
  const held = 'h. 4/5 q. 3/5=C(bend:D4)+2/5=E(bend:F#4) e 3/5 h -';

  it('stands where a bend that is held sounds, tied from the small heads', () => {
    const page = pageOf(held);
    const targets = page.ink.filter((k) => k.kind === 'target').map(middleY);
    const bar = page.ink.filter((k) => k.kind === 'barline').map((k) => k.x0);
    const [line] = [...new Set(bar)].sort((a, b) => a - b).slice(1);
    const after = page.ink
      .filter((k) => k.kind === 'notehead' && k.x0 > line!)
      .sort((a, b) => a.x0 - b.x0)
      .slice(0, 2)
      .map(middleY);
    const ascending = (a: number, b: number) => a - b;
    expect(targets).toHaveLength(2);
    after.sort(ascending).forEach((y, i) => {
      expect(Math.abs(y - targets.sort(ascending)[i]!)).toBeLessThan(1);
    });
    const small = page.ink.filter((k) => k.kind === 'target');
    const first = Math.min(...small.map((k) => k.x1));
    for (const tie of signsOf(page, 'tie')) {
      expect(left(tie)).toBeGreaterThan(first);
    }
    // The sharp of the small head holds over the tie.
    expect(signsOf(page, 'accidental')).toHaveLength(1);
  });

  it('is let go by an arrow also where both pitches lie on one line of the staff', () => {
    for (const target of ['C#4', 'Db4']) {
      const page = pageOf(`h 3/5=C(rel:${target}) -`, {}, 'staff');
      const tips = page.ink.filter((k) => k.kind === 'bend-angle');
      const head = page.ink.find((k) => k.kind === 'target')!;
      expect(tips.some((k) => k.x0 > head.x1)).toBe(true);
    }
  });

  it('stands at its start where the bend is let go before', () => {
    const page = pageOf('q 4/5 w 3/5=C(rel:D4) h. -');
    const heads = page.ink.filter((k) => k.kind === 'notehead').sort((a, b) => a.x0 - b.x0);
    expect(Math.abs(middleY(heads[1]!) - middleY(heads.at(-1)!))).toBeLessThan(0.1);
  });

  it('has no parentheses again, and a number again where it is slid off', () => {
    const page = pageOf('h. 4/5 h 3/5(ghost) h. -', {}, 'staff');
    expect(signsOf(page, 'parenthesis')).toHaveLength(1);
    const frets = (line: string) => signsOf(pageOf(line, { meter: '9/8' }), 'fret').length;
    expect(frets('q. 4/5 h. 3/5(out:down)')).toBe(3 - 1);
    expect(frets('q. 4/5 e 3/5 q. 1/8(out:down) q 3/5')).toBe(5);
    expect(frets('q. 4/5 e 3/5 q. 1/8 q 3/5')).toBe(4);
  });
});

describe('small notes', () => {
  it('have a slur from the first to their note, also over accidentals and ledger lines', () => {
    for (const line of [
      'h 2/8(h)@g:2/5;2/7=Gb~h -',
      'h 1/15(h)@g:1/12 -',
      'h 1/8(p)@g:1/10 -',
      'h 2/8(h)@g:2/5;2/6=E#~h;2/7=Gb~h -',
    ]) {
      const page = pageOf(line);
      const slur = signsOf(page, 'grace-slur')[0]!;
      const head = page.ink.find((k) => k.kind === 'notehead')!;
      const signs = page.ink.filter((k) => k.kind === 'accidental' && k.x1 < head.x0);
      const close = Math.min(head.x0, ...signs.filter((k) => head.x0 - k.x0 < 14).map((k) => k.x0));
      expect(close - right(slur), line).toBeLessThan(4);
      const first = left(page.ink.filter((k) => k.kind === 'grace'));
      expect(left(slur) - first, line).toBeLessThan(8);
      const tall = Math.max(...slur.map((k) => k.y1)) - Math.min(...slur.map((k) => k.y0));
      expect(tall, line).toBeLessThan(22);
    }
  });
});

describe('letters', () => {
  it('of the lower of two voices stand under the strings', () => {
    const page = pageOf('h 1/8 1/12(s)', { second: 'e 5/3 5/5(h) q 6/3 h 6/3' });
    const strings = page.ink.filter((k) => k.kind === 'tab-line');
    const letters = signsOf(page, 'letter').map((s) => middleY(s[0]!));
    expect(letters).toHaveLength(2);
    expect(Math.min(...letters)).toBeLessThan(Math.min(...strings.map((k) => k.y0)));
    expect(Math.max(...letters)).toBeGreaterThan(Math.max(...strings.map((k) => k.y1)));
  });
});

describe('the sheet of crowded signs', () => {
  it.each(SIGN_SHEET.map((i) => [i.name, i] as const))('is clear: %s', (_, { phrase, options }) => {
    expect(geometryFaults(phrase, options)).toEqual([]);
  });
});

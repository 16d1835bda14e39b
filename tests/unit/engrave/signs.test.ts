import { describe, expect, it } from 'vitest';
import { inkPhrase } from '../../../src/engrave/engrave';
import type { InkKind } from '../../../src/engrave/ink/kinds';
import type { Ink } from '../../../src/engrave/ink/pen';
import { ENTRIES } from '../../../src/engrave/legend/entries';
import { legendOf } from '../../../src/engrave/legend/legend';
import type { Staves } from '../../../src/engrave/options';
import { bendName, widthName } from '../../../src/engrave/text/names';
import { seededPhrase } from '../../support/arbitrary';
import { build } from '../../support/build';

const PLAIN = 'q 2/5 2/8 3/5 3/7';

function kindsOf(line: string, staves: Staves): ReadonlyMap<InkKind, number> {
  const counts = new Map<InkKind, number>();
  const signs = new Set<number>();
  for (const s of inkPhrase(build(line), { width: 900, staves })) {
    for (const k of s.ink) {
      if (!signs.has(k.sign)) counts.set(k.kind, (counts.get(k.kind) ?? 0) + 1);
      signs.add(k.sign);
    }
  }
  return counts;
}

/** Kinds of sign that a line shows and the plain one does not. */
function added(line: string, staves: Staves): readonly InkKind[] {
  const plain = kindsOf(PLAIN, staves);
  return [...kindsOf(line, staves)].filter(([k, n]) => n > (plain.get(k) ?? 0)).map(([k]) => k);
}

describe('every technique of section 6 on the staff it belongs to', () => {
  // What each adds to a plain line: on staff and tablature together, on either alone.
  const table: readonly (readonly [
    string,
    string,
    readonly InkKind[],
    readonly InkKind[],
    readonly InkKind[],
  ])[] = [
    [
      'bend',
      'q 2/5(bend:F4) 2/8 3/5 3/7',
      ['bend', 'bend-angle', 'target'],
      ['bend-angle', 'target'],
      ['bend'],
    ],
    [
      'bend and release',
      'q 2/5(rel:F4) 2/8 3/5 3/7',
      ['bend', 'bend-angle', 'target'],
      ['bend-angle', 'target'],
      ['bend'],
    ],
    [
      'pre-bend',
      'q 2/5(pre:F4) 2/8 3/5 3/7',
      ['bend', 'parenthesis', 'target'],
      ['parenthesis', 'target'],
      ['bend'],
    ],
    [
      'pre-bend and release',
      'q 2/5(prerel:F4) 2/8 3/5 3/7',
      ['bend', 'parenthesis', 'target'],
      ['parenthesis', 'target'],
      ['bend'],
    ],
    ['curl', 'q 2/5(curl) 2/8 3/5 3/7', ['bend', 'bend-angle'], ['bend-angle'], ['bend']],
    [
      'slide-in of a semitone',
      'q 2/5(in:-1) 2/8 3/5 3/7',
      ['slide', 'grace', 'grace-fret'],
      ['slide', 'grace'],
      ['slide', 'grace-fret'],
    ],
    [
      'slide in from nowhere',
      'q 2/5(in:below) 2/8 3/5 3/7',
      ['slide-in'],
      ['slide-in'],
      ['slide-in'],
    ],
    ['slide out', 'q 2/5(out:down) 2/8 3/5 3/7', ['slide-out'], ['slide-out'], ['slide-out']],
    [
      'slide',
      'q 2/5 2/8(s) 3/5 3/7',
      ['slide', 'slur', 'tab-slur', 'letter'],
      ['slide', 'slur'],
      ['slide', 'tab-slur', 'letter'],
    ],
    [
      'slide, plucked again',
      'q 2/5 2/8(S) 3/5 3/7',
      ['slide', 'letter'],
      ['slide'],
      ['slide', 'letter'],
    ],
    [
      'hammer-on',
      'q 2/5 2/8(h) 3/5 3/7',
      ['slur', 'tab-slur', 'letter'],
      ['slur'],
      ['tab-slur', 'letter'],
    ],
    [
      'pull-off',
      'q 2/5 2/8 3/5 3/3(p)',
      ['slur', 'tab-slur', 'letter'],
      ['slur'],
      ['tab-slur', 'letter'],
    ],
    ['tap', 'q 2/5 2/8(tap) 3/5 3/7', ['letter'], ['letter'], ['letter']],
    ['trill', 'q 2/5(tr:F4) 2/8 3/5 3/7', ['trill'], ['trill'], ['trill']],
    ['vibrato', 'q 2/5(vib) 2/8 3/5 3/7', ['vibrato'], ['vibrato'], ['vibrato']],
    ['wide vibrato', 'q 2/5(vib:wide) 2/8 3/5 3/7', ['vibrato'], ['vibrato'], ['vibrato']],
    [
      'grace notes',
      'q 2/5@g:2/4;2/6 2/8 3/5 3/7',
      ['grace', 'grace-slur', 'grace-fret'],
      ['grace', 'grace-slur'],
      ['grace-fret'],
    ],
    [
      'rake',
      'q 2/5@rake:4.3 2/8 3/5 3/7',
      ['dead-string', 'span'],
      ['span'],
      ['dead-string', 'span'],
    ],
    ['palm mute', 'q 2/5@pm 2/8@pm 3/5 3/7', ['span'], ['span'], ['span']],
    ['let ring', 'q 2/5(ring) 2/8 3/5 3/7', ['span'], ['span'], ['span']],
    ['ghost note', 'q 2/5(ghost) 2/8 3/5 3/7', ['parenthesis'], ['parenthesis'], []],
    ['staccato', 'q 2/5@stac 2/8 3/5 3/7', ['articulation'], ['articulation'], ['articulation']],
    ['accent', 'q 2/5@acc 2/8 3/5 3/7', ['articulation'], ['articulation'], ['articulation']],
    ['tenuto', 'q 2/5@ten 2/8 3/5 3/7', ['articulation'], ['articulation'], ['articulation']],
    ['artificial harmonic', 'q 2/5(art:12) 2/8 3/5 3/7', ['harmonic'], ['harmonic'], ['harmonic']],
    ['pinch harmonic', 'q 2/5(pinch:24) 2/8 3/5 3/7', ['harmonic'], ['harmonic'], ['harmonic']],
    ['natural harmonic', 'q 2/5 2/8 3/5 3/12(nat:12)', ['harmonic'], ['harmonic'], ['harmonic']],
    ['strokes', 'q 2/5@down 2/8@up 3/5 3/7', ['stroke'], ['stroke'], ['stroke']],
    ['strum', 'q 2/5@sdown 2/8@sup 3/5 3/7', ['strum'], ['strum'], ['strum']],
    ['tremolo picking', 'q 2/5@trem3 2/8 3/5 3/7', ['tremolo'], ['tremolo'], ['tremolo']],
    ['bar dip', 'q 2/5(dip:1) 2/8 3/5 3/7', ['bar-dip'], ['bar-dip'], ['bar-dip']],
    [
      'fingers',
      'q 2/5(f:1,pk:i) 2/8 3/5 3/7',
      ['finger', 'pluck'],
      ['finger', 'pluck'],
      ['finger', 'pluck'],
    ],
  ];

  it.each(table)('%s', (_, line, both, staff, tab) => {
    expect(added(line, 'both')).toEqual(expect.arrayContaining([...both]));
    expect(added(line, 'staff')).toEqual(expect.arrayContaining([...staff]));
    expect(added(line, 'tab')).toEqual(expect.arrayContaining([...tab]));
    // Nothing of the tablature on a staff alone, nothing of the staff on a tablature alone.
    const tabOnly: readonly InkKind[] = [
      'fret',
      'grace-fret',
      'bend',
      'tab-slur',
      'dead-string',
      'tab-line',
    ];
    const staffOnly: readonly InkKind[] = [
      'staff-line',
      'accidental',
      'grace',
      'target',
      'slur',
      'ledger',
    ];
    expect([...kindsOf(line, 'staff').keys()].filter((k) => tabOnly.includes(k))).toEqual([]);
    expect([...kindsOf(line, 'tab').keys()].filter((k) => staffOnly.includes(k))).toEqual([]);
  });

  it('crosses a dead note, on the staff and on the tablature', () => {
    const [s] = inkPhrase(build('q 2/x5 2/8 3/5 3/7'), { width: 900 });
    expect(s!.svg).toContain('×');
    expect(s!.svg).toContain('\ue0a9');
  });

  it('shows dynamics, words, repeats with endings, tempo and swing', () => {
    const p = build('w 3/5 | w 3/7 | w 3/5', {
      feel: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
      marks: [
        { kind: 'dynamic', onset: 0, value: 'mf' },
        { kind: 'words', onset: 0, text: 'softly' },
      ],
    });
    const bars = p.bars.map((b, i) =>
      i === 1 ? { ...b, ending: [1], repeatEnd: 2 } : i === 2 ? { ...b, ending: [2] } : b,
    );
    for (const staves of ['both', 'staff', 'tab'] as const) {
      const [s] = inkPhrase({ ...p, bars }, { width: 900, staves });
      const kinds = new Set(s!.ink.map((k) => k.kind));
      for (const k of ['dynamic', 'words', 'ending', 'tempo'] as const)
        expect(kinds, staves).toContain(k);
      expect(s!.svg).toContain('Shuffle eighths');
      expect(s!.svg.match(/\ue044/gu)).toHaveLength(staves === 'both' ? 4 : 2);
    }
  });

  it('says nothing of swing where all bars are compound, which are played as written (T3)', () => {
    const feel = { kind: 'swing', unit: 'eighth', first: 2, second: 1 } as const;
    const p = build('w 3/5 | w 3/7', { feel });
    const in12 = { beats: 12, beatType: 8 } as const;
    const [s] = inkPhrase(
      { ...p, bars: p.bars.map((b) => ({ ...b, meter: in12 })) },
      { width: 900 },
    );
    expect(s!.svg).not.toContain('Shuffle');
  });
});

describe('bends', () => {
  /** The signs of one kind with the boxes of each. */
  function signsOf(ink: readonly Ink[], kind: InkKind): readonly (readonly Ink[])[] {
    const groups = new Map<number, Ink[]>();
    for (const k of ink)
      if (k.kind === kind) groups.set(k.sign, [...(groups.get(k.sign) ?? []), k]);
    return [...groups.values()];
  }

  it('of a double stop nest: the lower string arrives further right and higher, whatever the widths', () => {
    for (const [upper, lower] of [
      ['F4', 'D4'],
      ['E4', 'D#4'],
      ['G4', 'C#4'],
      ['E4', 'E4'],
    ]) {
      const [s] = inkPhrase(build(`w 2/4=D#(bend:${upper})+3/5=C(bend:${lower})`), { width: 600 });
      const [a, b] = signsOf(s!.ink, 'bend').map((sign) => ({
        top: Math.min(...sign.map((k) => k.y0)),
        right: Math.max(...sign.map((k) => k.x1)),
        bottom: Math.max(...sign.map((k) => k.y1)),
      }));
      expect(b!.top).toBeLessThan(a!.top - 8);
      expect(b!.right).toBeGreaterThan(a!.right + 5);
      expect(b!.bottom).toBeGreaterThan(a!.bottom);
    }
  });

  it('bear the width in whole tones', () => {
    expect([0.5, 1, 2, 3, 4].map(widthName)).toEqual(['¼', '½', 'full', '1½', '2']);
    const p = build('w 2/13(bend:D5)', { chords: 'D7' });
    const note = p.voices[0].events[0]!.notes[0];
    // Worked example 2 of the musical rules: C5 on fret 13, full.
    expect(note.kind === 'pitched' && bendName(note)).toBe('full');
  });
});

describe('the legend', () => {
  it('explains each sign once, and only what is printed', () => {
    const line = 'q 2/5(bend:F4) 2/8(vib) 3/5 3/7(h) | q 2/5(bend:F4) 2/8@pm 3/5 3/7';
    const names = (staves: Staves) =>
      legendOf(build(line), { width: 900, staves }).map((e) => e.sign);
    expect(names('both')).toEqual(['bend', 'target', 'hammer-on', 'vibrato', 'palm-mute']);
    expect(names('staff')).toEqual(['target', 'hammer-on', 'vibrato', 'palm-mute']);
    expect(names('tab')).toEqual(['bend', 'hammer-on', 'vibrato', 'palm-mute']);
    expect(names('degrees')).toEqual([]);
    expect(legendOf(build(PLAIN), { width: 900 })).toEqual([]);
    expect(
      legendOf(build(PLAIN), { width: 900, changed: new Set(['n1']) }).map((e) => e.sign),
    ).toEqual(['changed']);
  });

  it('has an entry for every technique that phrases can hold, and uses each of its entries', () => {
    const used = new Set<string>();
    for (let seed = 0; seed < 400; seed++) {
      const p = seededPhrase(seed);
      for (const e of ENTRIES) if (e.used(p)) used.add(e.sign);
    }
    expect(ENTRIES.map((e) => e.sign).filter((s) => !used.has(s))).toEqual([]);
    expect(new Set(ENTRIES.map((e) => e.sign)).size).toBe(ENTRIES.length);
    expect(new Set(ENTRIES.map((e) => e.words)).size).toBe(ENTRIES.length);
  });
});

describe('marks of change', () => {
  const p = build('q 3/5+2/5 3/7 2/5 2/8', { chords: 'A7' });
  const changed = new Set(['n2', 'n4']);
  const marks = (staves: Staves) => {
    const [s] = inkPhrase(p, { width: 800, staves, changed });
    return new Set(s!.ink.filter((k) => k.kind === 'changed').map((k) => k.sign)).size;
  };

  it('frame the numbers, stand over a staff alone, and never rely on colour', () => {
    expect(marks('both')).toBe(2);
    expect(marks('tab')).toBe(2);
    expect(marks('staff')).toBe(2);
    const [plain] = inkPhrase(p, { width: 800 });
    expect(plain!.svg).not.toContain('dw-changed');
  });
});

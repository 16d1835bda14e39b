import { SaxesParser } from 'saxes';
import { describe, expect, it } from 'vitest';
import type { Phrase, PhraseEvent } from '../../../src/core/phrase/types';
import { createEngraver, engrave } from '../../../src/engrave/engraver';
import { columnAt, noteAt, stringAt } from '../../../src/engrave/hits';
import { legendOf } from '../../../src/engrave/legend/legend';
import type { EngraveOptions, Staves } from '../../../src/engrave/options';
import { build } from '../../support/build';
import { degreesOf, pageOf } from '../../support/engraving';
import { readSamples } from '../../support/samples';

const BAR = 'e 4/5 4/7 3/5 3/7 q 2/5(bend:F#4) 2/8(vib)';
const twelve = () =>
  build(Array.from({ length: 12 }, () => BAR).join(' | '), {
    chords: 'A7 | D7 | A7 | A7 | D7 | D7 | A7 | A7 | E7 | D7 | A7 | E7',
    key: 'A blues',
  });

/** The phrase with one note of an event put on another fret; all other events stay identical. */
function edited(p: Phrase, index: number, change: (e: PhraseEvent) => PhraseEvent): Phrase {
  const [first] = p.voices;
  const events = first.events.map((e, i) => (i === index ? change(e) : e));
  return { ...p, voices: [{ ...first, events }] };
}

const withVibrato = (e: PhraseEvent): PhraseEvent => {
  const [n, ...others] = e.notes;
  return n.kind === 'dead' ? e : { ...e, notes: [{ ...n, vibrato: 'wide' }, ...others] };
};

describe('engraving', () => {
  it('writes the same bytes every time', () => {
    for (let seed = 0; seed < 20; seed++) {
      const { phrase, options } = pageOf(seed);
      const copy = structuredClone(phrase);
      expect(engrave(copy, options)).toEqual(engrave(phrase, options));
    }
  });

  it('draws only the line that an edit touches', () => {
    const p = twelve();
    const o: EngraveOptions = { width: 800, degrees: degreesOf(p) };
    const engraver = createEngraver();
    const before = engraver.engrave(p, o).systems;
    expect(before.length).toBeGreaterThan(2);
    const q = edited(p, 14, withVibrato);
    const after = engraver.engrave(q, o).systems;
    const bar = 3;
    const touched = before.findIndex((s) => s.bars.includes(bar));
    after.forEach((s, i) => {
      if (i === touched) expect(s.svg).not.toBe(before[i]!.svg);
      else expect(s, `line ${i + 1}`).toBe(before[i]);
    });
  });

  it('gives the same as drawing everything anew, through a run of changes', () => {
    const engraver = createEngraver();
    const p = twelve();
    const width = 700;
    const without = edited(p, 20, withVibrato);
    const shorter: Phrase = {
      ...p,
      voices: [{ ...p.voices[0], events: p.voices[0].events.filter((_, i) => i !== 9) }],
    };
    const runs: readonly (readonly [Phrase, EngraveOptions])[] = [
      [p, { width }],
      [without, { width }],
      [shorter, { width }],
      [shorter, { width, staves: 'tab' }],
      [shorter, { width: 500, staves: 'tab' }],
      [p, { width, degrees: degreesOf(p) }],
      [p, { width, degrees: degreesOf(p), changed: new Set(['n3']) }],
      [{ ...p, tempo: { ...p.tempo, bpm: 61 } }, { width }],
      [{ ...p, key: { ...p.key, mode: 'minor' } }, { width }],
      [{ ...p, bars: p.bars.map((b, i) => (i === 3 ? { ...b, repeatEnd: 2 } : b)) }, { width }],
      [{ ...p, chords: p.chords.slice(2) }, { width }],
      [{ ...p, marks: [{ kind: 'words', onset: 40_320, text: 'here' }] }, { width }],
    ];
    for (const [phrase, options] of runs) {
      expect(engraver.engrave(phrase, options)).toEqual(engrave(phrase, options));
    }
    for (let seed = 0; seed < 15; seed++) {
      const { phrase, options } = pageOf(seed);
      expect(engraver.engrave(phrase, options)).toEqual(engrave(phrase, options));
    }
  });
});

/** Element names and attributes of an SVG text; throws where it is not well formed. */
function elementsOf(svg: string): readonly { name: string; attributes: Record<string, string> }[] {
  const found: { name: string; attributes: Record<string, string> }[] = [];
  const parser = new SaxesParser();
  parser.on('error', (e) => {
    throw e;
  });
  parser.on('opentag', (t) => {
    found.push({ name: t.name, attributes: t.attributes as Record<string, string> });
  });
  parser.write(svg).close();
  return found;
}

describe('rests', () => {
  it('of a silent pickup are as long as it is, of a silent bar a whole rest', () => {
    // SMuFL: E4E3 whole rest, E4E4 half, E4E5 quarter, E4E6 eighth.
    const signs = (p: Phrase) =>
      [...engrave(p, { width: 900 }).systems[0]!.svg.matchAll(/[\ue4e3-\ue4e6]/gu)].map((m) =>
        m[0].codePointAt(0)!.toString(16),
      );
    expect(signs(build('- | q 3/5 3/7 h -', { pickup: 5_040 }))).toEqual(['e4e6', 'e4e4']);
    expect(signs(build('w - | w 3/5'))).toEqual(['e4e3']);
  });
});

describe('the SVG text', () => {
  const ALLOWED = new Set(['svg', 'g', 'path', 'text']);

  it('is well formed, without colours, styles, ids or scripts, so that CSS and policy rule it', () => {
    for (let seed = 0; seed < 30; seed++) {
      const { phrase, options } = pageOf(seed);
      const { systems } = engrave(phrase, options);
      const legend = legendOf(phrase, options);
      for (const svg of [...systems.map((s) => s.svg), ...legend.map((l) => l.svg)]) {
        for (const { name, attributes } of elementsOf(svg)) {
          expect(ALLOWED.has(name), name).toBe(true);
          expect(attributes).not.toHaveProperty('style');
          expect(attributes).not.toHaveProperty('id');
          for (const paint of ['fill', 'stroke'] as const) {
            const value = attributes[paint];
            if (value !== undefined) expect(['none', 'currentColor']).toContain(value);
          }
        }
        expect(svg).not.toMatch(/NaN|Infinity|undefined/);
      }
    }
  });

  it('keeps text from a file text', () => {
    const text = '</text><script>alert(1)</script>&"';
    const p = build('w 3/5', { marks: [{ kind: 'words', onset: 0, text }] });
    const [s] = engrave(p, { width: 600 }).systems;
    const names = elementsOf(s!.svg).map((e) => e.name);
    expect(names).not.toContain('script');
    expect(s!.svg).not.toContain('<script');
  });

  it('sets words in letters that the font lacks to the width it reckons with', () => {
    const p = build('w 3/5', { marks: [{ kind: 'words', onset: 0, text: 'やさしく' }] });
    const [s] = engrave(p, { width: 600 }).systems;
    const words = elementsOf(s!.svg).filter((e) => e.attributes.textLength !== undefined);
    expect(words.map((e) => e.attributes.textLength)).toEqual(['43.2']);
  });
});

describe('lines', () => {
  it('fill the width, all but the last', () => {
    for (const { name, phrase } of readSamples()) {
      for (const width of [380, 760]) {
        const { systems } = engrave(phrase, { width });
        systems.forEach((s, i) => {
          const right = s.hits.bars.at(-1)!.x1;
          expect(s.width, name).toBeLessThanOrEqual(width + 0.01);
          if (i < systems.length - 1)
            expect(right, `${name} line ${i + 1}`).toBeGreaterThan(width - 16);
        });
      }
    }
  });

  it('show every bar once, in order', () => {
    for (const { phrase } of readSamples()) {
      const bars = engrave(phrase, { width: 420 }).systems.flatMap((s) => s.bars);
      const first = phrase.pickup > 0 ? 0 : 1;
      expect(bars).toEqual(
        Array.from({ length: phrase.bars.length + 1 - first }, (_, i) => i + first),
      );
    }
  });
});

describe('the hit table', () => {
  const p = build('q 3/5(bend:D4)+2/8 e 4/7 4/5 h 1/5', { chords: 'C7', second: 'w 6/0' });
  const at = (staves: Staves) =>
    engrave(p, { width: 700, staves, degrees: degreesOf(p) }).systems[0]!.hits;

  it('has every note on every row, and answers by place', () => {
    const t = at('both');
    for (const row of ['staff', 'tab', 'degree'] as const) {
      const ids = t.notes.filter((n) => n.row === row).map((n) => n.id);
      expect([...ids].sort(), row).toEqual(['n1', 'n2', 'n3', 'n4', 'n5', 'n6']);
    }
    for (const n of t.notes) {
      expect(noteAt(t, (n.x0 + n.x1) / 2, (n.y0 + n.y1) / 2)?.id).toBe(n.id);
    }
    expect(noteAt(t, -50, -50)).toBeNull();
    t.columns.forEach((c) => {
      expect(columnAt(t, c.x)).toBe(c);
    });
    expect(columnAt(t, -1_000)?.onset).toBe(0);
    expect(columnAt(t, 10_000)?.onset).toBe(20_160);
  });

  it('knows the strings, the first on top, where there is a tablature', () => {
    const t = at('both');
    const tab = t.rows.find((r) => r.row === 'tab')!;
    expect(tab.strings).toHaveLength(6);
    for (const n of t.notes.filter((x) => x.row === 'tab')) {
      const string = p.voices
        .flatMap((v) => v.events.flatMap((e) => e.notes))
        .find((x) => x.id === n.id)!.string;
      expect(stringAt(t, (n.y0 + n.y1) / 2)).toBe(string);
    }
    expect(stringAt(at('staff'), 10)).toBeNull();
  });
});

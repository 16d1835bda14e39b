import { describe, expect, it } from 'vitest';
import { playElsewhere } from '../../../src/core/neck/apply';
import { findPositions } from '../../../src/core/neck/areas';
import { handInBars, shapeSpan } from '../../../src/core/neck/hand-bars';
import { stretchesOf } from '../../../src/core/neck/neck-views';
import { degreesOnNeck, phraseOnNeck } from '../../../src/core/neck/on-neck';
import { fretMillimetres, STANDARD_GUITAR } from '../../../src/core/phrase/instrument';
import type { Instrument, Phrase } from '../../../src/core/phrase/types';
import { findShapes } from '../../../src/core/shapes/find';
import { parseChord } from '../../../src/core/theory/chord';
import { parseDegree } from '../../../src/core/theory/degree';
import { pitchOfMidi } from '../../../src/core/theory/pitch';
import { SCALE_NAMES, scaleNamed } from '../../../src/core/theory/scales';
import { analyse } from '../../../src/core/understand/analyse';
import { overlaps } from '../../../src/engrave/ink/box';
import { drawNeck, type NeckPicture, type NeckView } from '../../../src/engrave/neck/picture';
import { signOf } from '../../../src/engrave/neck/signs';
import { drawUpright } from '../../../src/engrave/neck/upright';
import { seededPhrase } from '../../support/arbitrary';
import { build } from '../../support/build';
import { readSamples } from '../../support/samples';

const open = (...midi: number[]) => midi.map((m) => pitchOfMidi(m, 'flat'));
const UKULELE: Instrument = {
  ...STANDARD_GUITAR,
  name: 'Ukulele',
  tuning: open(69, 64, 60, 67),
  frets: 15,
  scaleLength: 380,
};
const NECKS: readonly Instrument[] = [
  STANDARD_GUITAR,
  { ...STANDARD_GUITAR, capo: 4 },
  { ...STANDARD_GUITAR, tuning: open(64, 59, 55, 50, 45, 40, 35) },
  { ...STANDARD_GUITAR, name: 'Bass', tuning: open(43, 38, 33, 28), scaleLength: 864, frets: 24 },
  UKULELE,
];

function viewOf(p: Phrase, leftHanded = false): NeckView {
  return {
    instrument: p.instrument,
    content: phraseOnNeck(p, analyse(p), 'chord'),
    way: true,
    hand: handInBars(p),
    shape: shapeSpan(p),
    leftHanded,
    title: 'Title',
  };
}

/** What is to be read lies on the picture and touches nothing else that is to be read. */
function faults({
  labels,
  width,
  height,
}: Pick<NeckPicture, 'labels' | 'width' | 'height'>): readonly string[] {
  const found: string[] = [];
  labels.forEach((a, i) => {
    if (a.x0 < -0.1 || a.x1 > width + 0.1 || a.y0 < -0.1 || a.y1 > height + 0.1)
      found.push(`${a.kind} ${a.text} leaves the picture`);
    for (const b of labels.slice(i + 1))
      if (overlaps(a, b, 0.1)) found.push(`${a.kind} ${a.text} and ${b.kind} ${b.text}`);
  });
  return found;
}

describe('the picture of a neck', () => {
  it('has its wires where the instrument has them, whatever stands on it [N1]', () => {
    for (const instrument of NECKS) {
      const content = degreesOnNeck(
        instrument,
        { letter: 'E', alter: 0 },
        scaleNamed('blues')!.degrees,
        [0, 12],
      );
      for (const leftHanded of [false, true]) {
        const { plan } = drawNeck({ instrument, content, frets: [0, 12], leftHanded });
        const way = (fret: number) => Math.abs(plan.wire(fret) - plan.wire(0));
        const mm = (fret: number) =>
          fretMillimetres(instrument, fret) - fretMillimetres(instrument, 0);
        for (let fret = 1; fret <= 12; fret++)
          expect(way(fret) / way(12)).toBeCloseTo(mm(fret) / mm(12), 9);
        expect(plan.wire(12) > plan.wire(0)).toBe(!leftHanded);
      }
    }
  });

  it('keeps its labels apart and on the page: samples, and phrases made by chance', () => {
    const phrases = readSamples().map((s) => s.phrase);
    for (let seed = 1; seed <= 16; seed++) phrases.push(seededPhrase(seed, {}));
    phrases.forEach((p, i) => {
      const picture = drawNeck(viewOf(p, i % 2 === 1));
      expect(faults(picture), p.meta.title).toEqual([]);
      expect(picture.marks.length).toBe(viewOf(p).content.marks.length);
    });
  });

  it('keeps them apart where it shows before and after, and never sets them on an inlay', () => {
    let pairs = 0;
    for (const { phrase } of readSamples().filter((_, i) => i % 4 === 0)) {
      const [first, second] = findPositions(phrase, { count: 2 }).map((f) =>
        playElsewhere(phrase, f),
      );
      if (second === undefined) continue;
      pairs++;
      const was = phraseOnNeck(first!, analyse(first!), 'chord');
      const is = phraseOnNeck(second, analyse(second), 'chord');
      const arrows = was.marks.flatMap((m) => is.marks.slice(0, 1).map((n) => [m, n] as const));
      const { instrument } = phrase;
      const picture = drawNeck({ instrument, content: is, before: { content: was, arrows } });
      expect(faults(picture), phrase.meta.title).toEqual([]);
      const orders = picture.labels.filter((l) => l.kind === 'order');
      for (const [, x, y] of picture.svg.matchAll(/M([\d.]+) ([\d.]+)l5 -7l5 7/gu)) {
        const inlay = { x0: Number(x), x1: Number(x) + 10, y0: Number(y) - 7, y1: Number(y) + 7 };
        expect(orders.filter((o) => overlaps(o, inlay, 0.1))).toEqual([]);
      }
    }
    expect(pairs).toBeGreaterThan(4);
  });

  it('has the tip of an arrow free of the tags it leads to, however wide they are', () => {
    const p = build('q 1/8 1/8 3/7(bend:E5) 2/10', { chords: 'C7 | F7' });
    const is = phraseOnNeck(p, analyse(p), 'chord');
    const was = { marks: [{ ...is.marks[0]!, string: 5, fret: 3 }], moments: [] };
    for (const to of is.marks) {
      const arrows = [[was.marks[0]!, to]] as const;
      const view = { instrument: p.instrument, content: is, before: { content: was, arrows } };
      const { svg, marks } = drawNeck(view);
      const [, x, y] = svg.match(/dw-neck-arrow.*?<path d="M([\d.]+) ([\d.]+)L[^"]*Z"/u)!;
      const { box } = marks.find((m) => m.mark.string === to.string && m.mark.fret === to.fret)!;
      const inside =
        Number(x) > box.x0 && Number(x) < box.x1 && Number(y) > box.y0 && Number(y) < box.y1;
      expect(inside, `${to.string}/${to.fret}`).toBe(false);
    }
  });

  it('would say where labels met', () => {
    const picture = drawNeck(viewOf(build('q 3/5 3/6 3/7 3/8')));
    const [a, ...rest] = picture.labels.filter((l) => l.kind === 'tag');
    const b = rest[0]!;
    const moved = { ...b, x0: a!.x1 - 1, x1: a!.x1 + 21 };
    expect(faults(picture)).toEqual([]);
    expect(faults({ ...picture, labels: [a!, moved] })).toEqual([
      `tag ${a!.text} and tag ${b.text}`,
    ]);
    expect(faults({ ...picture, width: 100 }).join()).toContain('leaves the picture');
  });

  it('keeps them apart for every scale on any neck, in any stretch of frets', () => {
    let pictures = 0;
    SCALE_NAMES.forEach((name, i) => {
      const instrument = NECKS[i % NECKS.length]!;
      const root = pitchOfMidi(40 + 5 * i, 'flat');
      for (const frets of [
        [0, 24],
        [0, 5],
        [7, 12],
        [10, 10],
      ] as const) {
        const content = degreesOnNeck(instrument, root, scaleNamed(name)!.degrees, frets);
        expect(
          faults(drawNeck({ instrument, content, frets, leftHanded: i % 2 === 0 })),
          name,
        ).toEqual([]);
        pictures++;
      }
    });
    expect(pictures).toBeGreaterThan(60);
  });

  it('says at one place all that is played there, and when', () => {
    // G on string 1 fret 3: 5 of C7, then 2 of F7.
    const p = build('h 1/3 2/1 1/3 2/1', { chords: 'C7 | F7', key: 'C' });
    const { marks } = phraseOnNeck(p, analyse(p), 'chord');
    expect(marks.map((m) => [m.string, m.fret, m.order, m.labels.map((l) => l.text)])).toEqual([
      [1, 3, [1, 3], ['5', '2']],
      [2, 1, [2, 4], ['R', '5']],
    ]);
    const picture = drawNeck(viewOf(p));
    expect(picture.labels.filter((l) => l.kind === 'order').map((l) => l.text)).toEqual([
      '1 3',
      '2 4',
    ]);
  });

  it('goes on to another neck where the way could not be followed', () => {
    const long = readSamples().find((s) => s.name.startsWith('06'))!.phrase;
    const parts = stretchesOf(long);
    expect(parts.length).toBeGreaterThan(2);
    expect(parts.flatMap((s) => s.bars)).toEqual([...new Set(parts.flatMap((s) => s.bars))]);
    const seen = parts.flatMap(
      (s) => phraseOnNeck(long, analyse(long), 'chord', [s.from, s.to]).marks,
    );
    const ids = new Set(seen.flatMap((m) => m.ids));
    expect(ids.size).toBe(long.voices.flatMap((v) => v.events.flatMap((e) => e.notes)).length);
  });

  it('keeps the labels of upright diagrams apart, for shapes of several chords on any neck', () => {
    let diagrams = 0;
    const symbols = ['Bbmaj7', 'F#m7b5', 'C13', 'Ebdim7'];
    for (const [k, instrument] of NECKS.entries()) {
      const symbol = symbols[k % symbols.length]!;
      const read = parseChord(symbol);
      if (!read.ok) throw new Error(symbol);
      const shapes = findShapes(instrument, read.value);
      expect(shapes.length, `${instrument.name} ${symbol}`).toBeGreaterThan(0);
      shapes.forEach(({ tones }, i) => {
        if (i % 11 !== 0) return;
        const view = { instrument, tones, leftHanded: i % 2 === 0 };
        expect(faults(drawUpright(view)), `${instrument.name} ${symbol}`).toEqual([]);
        diagrams++;
      });
    }
    expect(diagrams).toBeGreaterThan(100);
  });

  it('tells degrees apart by outline, and their texts from what they stand on', () => {
    const signs = ['R', '2', '3', '4', '5', '6', '7'].map((t) => signOf(parseDegree(t)));
    expect(new Set(signs.map((s) => s.outline)).size).toBe(7);
    expect(new Set(signs.map((s) => s.fill)).size).toBe(7);
    for (const s of signs) {
      const fill = s.fill ?? '#000';
      expect(contrast(fill, s.text)).toBeGreaterThanOrEqual(4.5);
    }
  });
});

/** WCAG 2.2, relative luminance and contrast ratio. */
function contrast(a: string, b: string): number {
  const full = (h: string) =>
    h.length === 4 ? [...h.slice(1)].map((c) => c + c) : h.slice(1).match(/../gu)!;
  const light = (h: string) =>
    full(h)
      .map((c) => Number.parseInt(c, 16) / 255)
      .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
      .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i]!, 0);
  const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
  return (x! + 0.05) / (y! + 0.05);
}

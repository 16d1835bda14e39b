import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BendPoint } from '../../../../src/core/phrase/types';
import { parsePitch } from '../../../../src/core/theory/pitch';
import { bendTiming, curveOfTiming } from '../../../../src/io/musicxml/bend-timing';
import {
  decodeNoteExtras,
  decodePhraseExtras,
  encodeMisc,
  noteExtras,
  noteXmlId,
  phraseExtras,
  readNoteXmlId,
} from '../../../../src/io/musicxml/misc';
import { build } from '../../../support/build';

const value = (text: string) => {
  const r = parsePitch(text);
  if (!r.ok) throw new Error(text);
  return r.value;
};

describe('the phrase field', () => {
  it('carries what has no element, and comes back equal', () => {
    const p = build('e 3/5', {
      key: 'Bb blues',
      meta: {
        styleOf: 'an uncle "Jo" <&> \u0007 \ufffe \ud83c\udfb8',
        tags: ['turnaround', 'sixths'],
        level: 3,
        notes: 'line one\r\nline two',
      },
    });
    const text = encodeMisc(phraseExtras(p));
    // XML 1.0 section 2.2: the characters that may stand in a document.
    expect(text).toMatch(/^[\x20-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]*$/u);
    const back = decodePhraseExtras(text);
    expect(back).toEqual({
      ok: true,
      value: {
        v: 1,
        id: 'test',
        parent: null,
        created: '2026-01-01T00:00:00.000Z',
        modified: '2026-01-01T00:00:00.000Z',
        styleOf: 'an uncle "Jo" <&> \u0007 \ufffe \ud83c\udfb8',
        tags: ['turnaround', 'sixths'],
        level: 3,
        notes: 'line one\r\nline two',
        mode: 'blues',
        instrument: { ...p.instrument },
        voices: 1,
      },
    });
  });

  it('refuses other versions, other types and broken JSON', () => {
    const good = JSON.stringify(phraseExtras(build('e 3/5')));
    expect(decodePhraseExtras(good).ok).toBe(true);
    for (const bad of [
      good.replace('"v":1', '"v":2'),
      good.replace('"tags":[]', '"tags":"x"'),
      good.replace('"frets":22', '"frets":-1'),
      good.replace('E4', 'H4'),
      good.slice(0, -2),
    ]) {
      expect(bad).not.toBe(good);
      const r = decodePhraseExtras(bad);
      expect(r.ok).toBe(false);
      if (!r.ok) expect(r.problems[0]?.message).toContain('degreewise:phrase');
    }
  });
});

describe('the notes field', () => {
  const p = build('q 3/7 e 2/8(bend:A4,anchor:key,pin) 2/x8 | s 3/5(in:-2) 3/7(s) q. 1/3', {
    pickup: 20_160,
    meter: '4/4',
    chords: 'G7',
  });

  it('names each note by number and fingerprint, onsets counted in the bar', () => {
    expect(noteExtras(p).map((x) => x.at)).toEqual([
      [0, 0, 3, 7, 'D4'],
      [0, 10_080, 2, 8, 'G4'],
      [0, 15_120, 2, 8, 'x'],
      [1, 0, 3, 5, 'C4'],
      [1, 2_520, 3, 7, 'D4'],
      [1, 5_040, 1, 3, 'G4'],
    ]);
  });

  it('says what has no element, and nothing else', () => {
    const [plain, bent, , slid, to] = noteExtras(p).map(({ n, id, at, ...rest }) => rest);
    expect(plain).toEqual({});
    expect(bent).toEqual({ anchor: 'key', pinned: true, bend: { target: 'A4' } });
    expect(slid).toEqual({ slideIn: { from: 'below', semitones: 2 } });
    expect(to).toEqual({});
  });

  it('keeps the attack of a note that has nothing to start from', () => {
    const alone = build('q 3/7(h) - 3/9(p) 3/7(tap)', { chords: 'G7' });
    expect(noteExtras(alone).map((x) => x.attack)).toEqual(['hammer-on', 'pull-off', undefined]);
  });

  it('comes back equal with its pitches read', () => {
    const r = decodeNoteExtras(encodeMisc(noteExtras(p)));
    expect(r.ok && r.value[1]).toEqual({
      n: 2,
      id: 'n2',
      at: [0, 10_080, 2, 8, value('G4')],
      anchor: 'key',
      pinned: true,
      bend: { target: value('A4') },
    });
  });
});

describe('xml ids', () => {
  it('are read back', () => {
    expect(noteXmlId('staff', 12)).toBe('n12');
    expect(noteXmlId('tab', 12, 3)).toBe('t12.3');
    expect(readNoteXmlId('t12.3')).toEqual({ staff: 'tab', n: 12, part: 3 });
    expect(readNoteXmlId('n7')).toEqual({ staff: 'staff', n: 7, part: 1 });
    for (const other of ['note7', 'n0', 'n07', 'x3', 'n3.0', '']) {
      expect(readNoteXmlId(other)).toBeNull();
    }
  });
});

describe('bend timing', () => {
  it('reads where the string rises and is let down', () => {
    const curve = [
      { at: 10, amount: 0 },
      { at: 40, amount: 100 },
      { at: 60, amount: 100 },
      { at: 90, amount: 0 },
    ];
    expect(bendTiming('bend-release', curve)).toEqual({ rise: [10, 40], fall: [60, 90] });
    expect(bendTiming('pre-bend', [{ at: 0, amount: 100 }])).toEqual({ rise: null, fall: null });
    expect(
      bendTiming('pre-bend-release', [
        { at: 0, amount: 100 },
        { at: 35, amount: 100 },
        { at: 80, amount: 0 },
      ]),
    ).toEqual({ rise: null, fall: [35, 80] });
  });

  it('makes a curve with just that timing, over the whole note and ascending', () => {
    const percent = fc.integer({ min: 0, max: 100 });
    const shapes = ['bend', 'curl', 'bend-release', 'pre-bend', 'pre-bend-release'] as const;
    fc.assert(
      fc.property(
        fc.constantFrom(...shapes),
        fc.uniqueArray(percent, { minLength: 4, maxLength: 4 }),
        (shape, four) => {
          const [a, b, c, d] = [...four].sort((x, y) => x - y) as [number, number, number, number];
          const rise = shape.startsWith('pre') ? null : ([a, b] as const);
          const fall = shape.endsWith('release') ? ([c, d] as const) : null;
          const curve = curveOfTiming({ rise, fall });
          expect(bendTiming(shape, curve)).toEqual({ rise, fall });
          expectWhole(curve);
        },
      ),
      { seed: 20261125, numRuns: 300 },
    );
  });

  it('makes a usable curve of times that contradict one another', () => {
    for (const rise of [null, [100, 0], [100, 100], [0, 0], [40, 30]] as const) {
      for (const fall of [null, [0, 0], [100, 100], [20, 10], [99.5, 99.7]] as const) {
        expectWhole(curveOfTiming({ rise, fall }));
      }
    }
  });

  function expectWhole(curve: readonly BendPoint[]) {
    expect(curve[0]?.at).toBe(0);
    expect(curve.at(-1)?.at).toBe(100);
    expect(curve.some((p) => p.amount === 100)).toBe(true);
    for (let i = 1; i < curve.length; i++) {
      expect(curve[i]!.at).toBeGreaterThan(curve[i - 1]!.at);
    }
  }
});

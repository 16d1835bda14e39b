import { Accidental, Beam, Element, StaveNote, Voice } from 'vexflow/core';
import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../src/core/phrase/types';
import { alterText, type Pitch } from '../../../src/core/theory/pitch';
import { type ScoreBar, type ScoreItem, scoreOf } from '../../../src/engrave/score/score';
import { seededPhrase } from '../../support/arbitrary';
import { type BuildOptions, build } from '../../support/build';

const items = (p: Phrase): readonly ScoreItem[] => scoreOf(p).flatMap((b) => b.voices.flat());
const signs = (p: Phrase) => items(p).map((i) => i.notes.map((n) => n.accidental?.slice(10) ?? ''));

describe('places on the staff', () => {
  it('writes a guitar an octave above its sound, on the lines of the treble clef (P3)', () => {
    // Open first string: E4, written E5 in the top space; third fret of the fifth: C3, written C4,
    // one ledger line below.
    const ys = items(build('q 1/0 5/3 1/1 - ', { key: 'C' })).map((i) => i.notes[0]?.y);
    expect(ys.slice(0, 3)).toEqual([5, 50, 0]);
  });

  it('writes a ukulele as it sounds and a bass in the bass clef an octave above', () => {
    const ukulele = build('w 1/0', {
      instrument: { tuning: [{ letter: 'A', alter: 0, octave: 4 }], clef: 'treble' },
    });
    // A4: the second space from below.
    expect(items(ukulele)[0]!.notes[0]!.y).toBe(25);
    const bass = build('w 4/0', {
      instrument: {
        tuning: (['G2', 'D2', 'A1', 'E1'] as const).map(
          (n): Pitch => ({
            letter: n[0] as Pitch['letter'],
            alter: 0,
            octave: Number(n[1]),
          }),
        ),
        clef: 'bass-8',
      },
    });
    // E1 sounds, E2 is written: one ledger line below the bass staff (common practice).
    expect(items(bass)[0]!.notes[0]!.y).toBe(50);
  });

  it('puts very high notes an octave lower under 8va, but not beside a second voice', () => {
    const high = build('h 1/21 1/10');
    expect(items(high).map((i) => i.octave)).toEqual([true, false]);
    // What is high beside it goes along; a tie never leads out of the sign.
    const beside = build('q 1/15 1/21 1/12 1/10 1/21 1/21 h. 1/15 q -');
    const shown = items(beside).filter((i) => i.event !== null);
    expect(shown.map((i) => i.octave)).toEqual([
      ...[true, true, true, false],
      ...[true, true, false],
      false,
    ]);
    const divided = build('h 1/21 1/12', { second: 'w 6/0' });
    expect(items(divided).every((i) => !i.octave)).toBe(true);
  });
});

describe('accidentals', () => {
  it('follow signature and bar: once a bar and octave, and cancelled when it changes back', () => {
    const p = build('e 2/5=E 2/4=Eb 2/4=Eb 2/5=E 4/2=E 4/1=Eb q 2/4=Eb | w 2/4=Eb', { key: 'C' });
    expect(signs(p).map((s) => s[0])).toEqual([
      '',
      'Flat',
      '',
      'Natural',
      '',
      'Flat',
      'Flat',
      'Flat',
    ]);
  });

  it('are not repeated on a tied note, and count again after the bar line', () => {
    const p = build('h. 3/6=C# q. 3/6=C# e 3/6=C# h 3/6=C#', { key: 'C' });
    const sounding = items(p).filter((i) => i.event !== null);
    const shown = sounding.map((i) => [i.written.tieStop, i.notes[0]!.accidental]);
    expect(shown).toEqual([
      [false, 'accidentalSharp'],
      [false, null],
      [true, null],
      [false, 'accidentalSharp'],
      [false, null],
      [true, null],
    ]);
  });

  it('reach bend targets and the starts of slides', () => {
    const p = build('h 3/4=B(bend:C#4) 2/2=C#(in:-1)', { key: 'C' });
    const [bent, slid] = items(p);
    expect(bent!.notes[0]!.target?.accidental).toBe('accidentalSharp');
    expect(bent!.notes[0]!.accidental).toBeNull();
    // C in a bar in which its sharp in this octave is in force.
    expect(slid!.graces[0]!.notes[0]!.accidental).toBe('accidentalNatural');
    expect(slid!.notes[0]!.accidental).toBe('accidentalSharp');
  });
});

describe('cautionary accidentals (common practice)', () => {
  const cautions = (line: string, o: BuildOptions = {}) =>
    items(build(line, o)).flatMap((i) =>
      [...i.graces.flatMap((g) => g.notes), ...i.notes].flatMap((n) =>
        n.cautionary ? [`${n.accidental?.slice(10)} at ${i.written.onset / 10_080}`] : [],
      ),
    );

  it('remind, once, of what the bar before altered, in the same octave', () => {
    expect(cautions('h 3/6=C# 3/6=C# | q 3/5=C 3/5=C 1/8=C5 3/5=C')).toEqual(['Natural at 4']);
    expect(cautions('w 3/6=C# | w 1/8=C5')).toEqual([]);
    // Cancelled before the bar line already, and a bar later.
    expect(cautions('h 3/6=C# 3/5=C | w 3/5=C')).toEqual([]);
    expect(cautions('w 3/6=C# | w 2/5 | w 3/5=C')).toEqual([]);
    expect(cautions('w 3/6=C# | w - | w 3/5=C')).toEqual([]);
  });

  it('bring back what the signature says', () => {
    expect(cautions('w 1/1=F | w 1/2=F#', { key: 'G' })).toEqual(['Sharp at 4']);
    expect(cautions('w 1/2=F# | w 1/1=F', { key: 'G' })).toEqual([]);
  });

  it('remind after a tie over the bar line, and in the bar after the tie', () => {
    expect(cautions('h. 2/5 q. 3/6=C# e 3/5=C h 2/5')).toEqual(['Natural at 4.5']);
    expect(cautions('h. 2/5 q. 3/6=C# e 2/5 h 2/5 q 2/5 | w 3/5=C')).toEqual(['Natural at 8']);
  });

  it('stand before small notes too, and belong to both voices', () => {
    expect(cautions('w 3/6=C# | q 2/5@g:3/5=C 3/5=C h 2/5')).toEqual(['Natural at 4']);
    expect(cautions('w 2/5 | w 3/5=C', { second: 'w 3/6=C# | w -' })).toEqual(['Natural at 4']);
  });
});

describe('against an independent library', () => {
  /** One bar of one voice without ties, graces, bends and dead notes, as the library takes it. */
  function plainBars(): readonly { readonly p: Phrase; readonly bar: ScoreBar }[] {
    const bars: { p: Phrase; bar: ScoreBar }[] = [];
    for (let seed = 0; bars.length < 120; seed++) {
      const p = seededPhrase(seed, {
        without: [
          'second voice',
          'bends',
          'graces',
          'slide-ins',
          'dead notes',
          'tunings',
          'harmonics',
        ],
      });
      for (const bar of scoreOf(p)) {
        const list = bar.voices[0]!;
        const tied = list.some((i) => i.written.tieStart || i.written.tieStop || i.octave);
        if (!tied && list.some((i) => i.event !== null)) bars.push({ p, bar });
      }
    }
    return bars;
  }

  const VALUES: Readonly<Record<string, string>> = {
    whole: '1',
    half: '2',
    quarter: '4',
    eighth: '8',
    '16th': '16',
    '32nd': '32',
    '64th': '64',
    '128th': '128',
  };

  const keyOf = (p: Pitch) => `${p.letter.toLowerCase()}${alterText(p.alter)}/${p.octave + 1}`;

  function noteOf(item: ScoreItem): StaveNote {
    const duration = VALUES[item.written.value]!;
    if (item.event === null) return new StaveNote({ keys: ['b/4'], duration: `${duration}r` });
    const keys = item.notes.flatMap((n) =>
      n.note.kind === 'pitched' ? [keyOf(n.note.pitch)] : [],
    );
    return new StaveNote({ keys, duration, autoStem: true });
  }

  // Widths do not matter here.
  const canvas = { getContext: () => ({ font: '', measureText: () => ({ width: 10 }) }) };
  Element.setTextMeasurementCanvas(canvas as never);

  it('shows the same accidentals in 120 generated bars (VexFlow, within one bar)', () => {
    let compared = 0;
    for (const { p, bar } of plainBars()) {
      const list = bar.voices[0]!;
      const notes = list.map(noteOf);
      const voice = new Voice({ numBeats: 4, beatValue: 4 }).setStrict(false).addTickables(notes);
      const tonic = p.key.tonic.letter + alterText(p.key.tonic.alter);
      Accidental.applyAccidentals([voice], p.key.mode === 'minor' ? `${tonic}m` : tonic);
      list.forEach((item, i) => {
        // The same pitch on two strings is one place for us and two keys for the library.
        const ys = item.notes.map((n) => n.y);
        if (new Set(ys).size < ys.length) return;
        const theirs = notes[i]!.getModifiersByType('Accidental').map((m) => m.getIndex());
        // The library looks at one bar, and so at no cautions.
        const needed = (n: ScoreItem['notes'][number]) => n.accidental !== null && !n.cautionary;
        const ours = item.notes.flatMap((n, k) => (needed(n) ? [k] : []));
        expect([...theirs].sort(), `${p.id} ${item.written.onset}`).toEqual(ours);
        compared += item.notes.length;
      });
    }
    expect(compared).toBeGreaterThan(400);
  });

  it('points stems the same way, alone and under beams', () => {
    let grouped = 0;
    for (const { bar } of plainBars()) {
      const list = bar.voices[0]!;
      const notes = list.map(noteOf);
      const groups = new Map<number, number[]>();
      list.forEach((item, i) => {
        if (item.group !== null) groups.set(item.group, [...(groups.get(item.group) ?? []), i]);
        else if (item.event !== null) {
          expect(item.stem).toBe(notes[i]!.getStemDirection() === 1 ? 'up' : 'down');
        }
      });
      for (const members of groups.values()) {
        new Beam(
          members.map((i) => notes[i]!),
          true,
        );
        // The library weighs all heads of a group, we take the one furthest from the middle: they
        // are compared where both ways give one answer.
        const ys = members.flatMap((i) => list[i]!.notes.map((n) => n.y - 20));
        const weight = ys.reduce((a, b) => a + b, 0);
        const far = Math.max(...ys) + Math.min(...ys);
        if (Math.sign(weight) !== Math.sign(far) || far === 0) continue;
        grouped++;
        for (const i of members) {
          expect(list[i]!.stem).toBe(notes[i]!.getStemDirection() === 1 ? 'up' : 'down');
        }
      }
    }
    expect(grouped).toBeGreaterThan(20);
  });
});

describe('voices', () => {
  it('part their stems only where both sound', () => {
    const bars = scoreOf(build('q 1/5 1/5 1/5 1/5 | w 1/12', { second: 'w 6/0 | w -' }));
    expect(bars.map((b) => b.divided)).toEqual([true, false]);
    const stems = bars.map((b) => b.voices.map((v) => [...new Set(v.map((i) => i.stem))]));
    expect(stems[0]).toEqual([['up'], ['down']]);
    // The second voice's rest is not printed where it alone is silent.
    expect(bars[1]!.voices[1]).toEqual([]);
  });

  it('know a bar in which nobody plays', () => {
    expect(scoreOf(build('w 1/5 | w -', { bars: 2 })).map((b) => b.silent)).toEqual([false, true]);
  });
});

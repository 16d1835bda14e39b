import { describe, expect, it } from 'vitest';
import { centsAt } from '../../../../src/core/sound/curve';
import { perform } from '../../../../src/core/sound/perform';
import type { Sound } from '../../../../src/core/sound/types';
import { build } from '../../../support/build';

/** Quarter = 60: a tick is 1/10080 s, a quarter a second. */
const SLOW = { tempo: { bpm: 60, unit: 'quarter' } } as const;
const sounds = (text: string, o: Parameters<typeof build>[1] = {}) =>
  perform(build(text, { ...SLOW, ...o })).sounds;
const onsets = (list: readonly Sound[]) => list.map((s) => Math.round(s.onset * 1000) / 1000);
const end = (s: Sound) => s.onset + s.length;

describe('time', () => {
  it('plays a quarter at the tempo that is written, and slower without another pitch', () => {
    const p = build('q 3/5 3/7', { tempo: { bpm: 120, unit: 'quarter' } });
    expect(onsets(perform(p).sounds)).toEqual([0, 0.5]);
    const half = perform(p, { speed: 0.5 });
    expect(onsets(half.sounds)).toEqual([0, 1]);
    expect(half.sounds.map((s) => s.midi)).toEqual([60, 62]);
  });

  it('counts dotted quarters where the tempo does', () => {
    const tempo = { bpm: 60, unit: 'dotted-quarter' } as const;
    expect(onsets(perform(build('e 3/5 3/7 3/5 q. 3/7', { meter: '6/8', tempo })).sounds)).toEqual([
      0, 0.333, 0.667, 1,
    ]);
  });

  it('swings eighths 2:1 as triplets, and leaves tuplets and finer notes (T3)', () => {
    const feel = { kind: 'swing', unit: 'eighth', first: 2, second: 1 } as const;
    expect(onsets(sounds('e 3/5 3/7 e3 3/5 3/7 3/5 s 3/5 3/7 3/5 3/7 q 3/5', { feel }))).toEqual([
      0, 0.667, 1, 1.333, 1.667, 2, 2.25, 2.667, 2.75, 3,
    ]);
  });

  it('does not swing compound meters, nor anything where the page is to be heard', () => {
    const feel = { kind: 'swing', unit: 'eighth', first: 2, second: 1 } as const;
    const six = build('e 3/5 3/7 3/5 3/5 3/7 3/5', { meter: '6/8', feel, ...SLOW });
    expect(onsets(perform(six).sounds)).toEqual([0, 0.5, 1, 1.5, 2, 2.5]);
    const four = build('e 3/5 3/7', { feel, ...SLOW });
    expect(onsets(perform(four, { swing: 'written' }).sounds)).toEqual([0, 0.5]);
  });
});

describe('repeats (MusicXML 4.0 repeat and ending)', () => {
  const bars = (marks: readonly object[]) => {
    const text = marks.map((_, i) => `w 3/${i + 1}`).join(' | ');
    const p = build(text, SLOW);
    const withMarks = { ...p, bars: p.bars.map((b, i) => ({ ...b, ...marks[i] })) };
    return perform(withMarks).sounds.map((s) => s.fret);
  };

  it('plays a section as often as it says, and each ending on its pass', () => {
    expect(bars([{}, { repeatStart: true }, { repeatEnd: 3 }, {}])).toEqual([
      1, 2, 3, 2, 3, 2, 3, 4,
    ]);
    expect(
      bars([{ repeatStart: true }, { ending: [1], repeatEnd: 2 }, { ending: [2] }, {}]),
    ).toEqual([1, 2, 1, 3, 4]);
    expect(bars([{}, { ending: [1, 2], repeatEnd: 3 }, { ending: [3] }, { repeatEnd: 2 }])).toEqual(
      [1, 2, 1, 2, 1, 3, 4, 4],
    );
  });

  it('goes back to the first bar and not to the pickup', () => {
    const p = build('q 3/1 | w 3/2 | w 3/3', { ...SLOW, pickup: 10_080 });
    const twice = { ...p, bars: p.bars.map((b, i) => (i === 1 ? { ...b, repeatEnd: 2 } : b)) };
    expect(perform(twice).sounds.map((s) => s.fret)).toEqual([1, 2, 3, 2, 3]);
  });
});

describe('strings', () => {
  it('sound one note at a time, and ring on only where they are let ring', () => {
    const [held, struck] = sounds('q 3/5(ring) 3/7');
    expect(end(held!)).toBeCloseTo(struck!.onset, 9);
    const [ringing, other] = sounds('q 3/5(ring) 2/5 h -');
    expect(end(ringing!)).toBeGreaterThan(3);
    expect(end(other!)).toBeCloseTo(2, 9);
  });

  it('pluck what would lead on from a string that does not sound', () => {
    const p = build('q 3/5 3/7(h) h - | w 3/9', SLOW);
    const cut = { ...p, bars: p.bars.map((b, i) => (i === 1 ? { ...b, repeatEnd: 2 } : b)) };
    expect(perform(cut).sounds.map((s) => s.begin)).toEqual([
      'plucked',
      'hammered',
      'plucked',
      'plucked',
      'hammered',
      'plucked',
    ]);
  });
});

describe('pitch', () => {
  it('bends each string of a double stop by its own width (MUSIC example 1)', () => {
    const [high, low] = sounds('h 3/5(bend:D4)+2/5(bend:F4)');
    expect(low!.string).toBe(3);
    expect(centsAt(low!, end(low!))).toBeCloseTo(200, 6);
    expect(centsAt(high!, end(high!))).toBeCloseTo(100, 6);
    expect(centsAt(low!, 0)).toBe(0);
  });

  it('begins a pre-bend at its target, and a release ends where it began', () => {
    const [pre] = sounds('h 3/5(prerel:D4)');
    expect(centsAt(pre!, 0)).toBeCloseTo(200, 6);
    expect(centsAt(pre!, 2)).toBeCloseTo(0, 6);
    const [curl] = sounds('h 3/5(curl)');
    expect(centsAt(curl!, 2)).toBeCloseTo(50, 6);
  });

  it('slides in from a semitone below, both strings of a double stop together', () => {
    const both = sounds('q 3/10(in:-1)+2/10(in:-1)');
    for (const s of both) {
      expect(centsAt(s, 0)).toBe(-100);
      expect(centsAt(s, 0.2)).toBe(0);
      expect(s.begin).toBe('plucked');
    }
  });

  it('arrives at the note that is slid to on its beat, bent or not', () => {
    const [from, to] = sounds('q 3/5 3/7(s)');
    expect(centsAt(from!, from!.length)).toBeCloseTo(200, 6);
    expect(to!.begin).toBe('slid');
    expect(sounds('q 3/5 3/7(S)')[1]!.begin).toBe('plucked');
    const [bent] = sounds('q 3/5(bend:D4) 3/9(s)');
    expect(centsAt(bent!, bent!.length)).toBeCloseTo(400, 6);
  });

  it('steps from fret to fret where slides are stepped', () => {
    const p = build('h 3/5 3/9(s)', SLOW);
    const [from] = perform(p, { slides: 'stepped' }).sounds;
    const late = Array.from({ length: 200 }, (_, i) => centsAt(from!, 1.9 + i / 2000));
    const whole = late.filter((c) => Math.abs(c / 100 - Math.round(c / 100)) < 0.001);
    expect(whole.length / late.length).toBeGreaterThan(0.7);
  });

  it('shakes a fretted string sharp and lets a bent one down', () => {
    const range = (s: Sound) => {
      const all = Array.from({ length: 400 }, (_, i) => centsAt(s, 1 + i / 400));
      return [Math.min(...all), Math.max(...all)].map(Math.round);
    };
    expect(range(sounds('h 3/5(vib)')[0]!)).toEqual([0, 35]);
    expect(range(sounds('h 3/5(vib:wide)')[0]!)).toEqual([0, 90]);
    expect(range(sounds('h 3/5(bend:D4,vib)')[0]!)[1]).toBeLessThanOrEqual(200);
  });

  it('hammers and pulls a trill in turn and ends on the written note', () => {
    const all = sounds('q 3/5(tr:D4)');
    expect(all.length % 2).toBe(1);
    expect(all.slice(0, 3).map((s) => [s.begin, s.midi])).toEqual([
      ['plucked', 60],
      ['hammered', 62],
      ['pulled', 60],
    ]);
    expect(all.at(-1)!.midi).toBe(60);
    expect(end(all.at(-1)!)).toBeCloseTo(1, 9);
  });

  it('dips every string that sounds with the bar', () => {
    const both = perform(build('w 1/5(dip:2)', { ...SLOW, second: 'w 4/5' })).sounds;
    for (const s of both) expect(Math.min(...[0.1, 0.2, 0.3].map((t) => centsAt(s, t)))).toBe(-200);
  });

  it('sounds harmonics where they are heard', () => {
    expect(sounds('q 3/12(nat:12)').map((s) => [s.midi, s.manner])).toEqual([[67, 'harmonic']]);
    expect(sounds('q 3/5(art:12)').map((s) => [s.midi, s.manner])).toEqual([[72, 'harmonic']]);
    expect(sounds('q 3/5(pinch:24)').map((s) => [s.midi, s.manner])).toEqual([[84, 'pinch']]);
  });
});

describe('what comes before a note takes its time', () => {
  it('graces on the beat, hammered on to the note', () => {
    const [grace, note] = sounds('q 3/7(h)@g:3/5');
    expect(onsets([grace!, note!])).toEqual([0, 0.08]);
    expect(note!.begin).toBe('hammered');
    expect(end(note!)).toBeCloseTo(1, 9);
  });

  it('the other string of a hammered double stop is struck with the grace', () => {
    const all = sounds('q 3/6(h)+2/5@g:3/5');
    expect(all.map((s) => [s.string, Math.round(s.onset * 1000)])).toEqual([
      [2, 0],
      [3, 0],
      [3, 80],
    ]);
  });

  it('rakes and strums run over the strings', () => {
    const rake = sounds('q 1/5@rake:4.3.2');
    expect(rake.map((s) => s.string)).toEqual([4, 3, 2, 1]);
    expect(rake.map((s) => s.manner)).toEqual(['dead', 'dead', 'dead', 'open']);
    const strum = sounds('q 1/5+2/5+3/5@sdown');
    expect(strum.map((s) => s.string)).toEqual([3, 2, 1]);
    expect(strum[2]!.onset).toBeCloseTo(0.028, 9);
  });
});

describe('loudness and length', () => {
  it('follows dynamics, accents, ghosts and the right hand', () => {
    const marks = [
      { kind: 'dynamic', onset: 0, value: 'p' },
      { kind: 'dynamic', onset: 20_160, value: 'f' },
    ] as const;
    const level = sounds('q 3/5 3/5(ghost) 3/5 3/5@acc', { marks }).map((s) => s.level);
    expect(level).toEqual([-8, -17, 4, 8]);
  });

  it('cuts staccato and dead notes short, mutes with the palm, repeats a tremolo', () => {
    expect(sounds('q 3/5@stac')[0]!.length).toBeCloseTo(0.5, 9);
    expect(sounds('q 3/x5')[0]).toMatchObject({ manner: 'dead', length: 0.12 });
    expect(sounds('q 3/5@pm')[0]!.manner).toBe('palm');
    expect(onsets(sounds('q 3/5@trem2'))).toEqual([0, 0.25, 0.5, 0.75]);
  });
});

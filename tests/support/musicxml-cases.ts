import type { Bar, Instrument, Mark, Phrase } from '../../src/core/phrase/types';
import { canonicalSymbol } from '../../src/core/theory/chord';
import { parsePitch } from '../../src/core/theory/pitch';
import { type BuildOptions, build } from './build';

/**
 * Hand-written phrases that between them use every technique of the model, every kind of rhythm and
 * every frame, for checks of what is exported. All invented here.
 */

function tuning(text: string): Instrument['tuning'] {
  return text.split(' ').map((name) => {
    const r = parsePitch(name);
    if (!r.ok) throw new Error(name);
    return r.value;
  });
}

/** The builder takes symbols as typed; stored ones are canonical. */
function phrase(title: string, line: string, o: BuildOptions = {}): Phrase {
  const p = build(line, { title, id: title.replace(/\W+/gu, '-'), ...o });
  const chords = p.chords.map((c) => {
    if (c.symbol === null) return c;
    const symbol = canonicalSymbol(c.symbol);
    if (!symbol.ok) throw new Error(`${title}: ${c.symbol}`);
    return { ...c, symbol: symbol.value };
  });
  return { ...p, chords };
}

function withBars(p: Phrase, bars: readonly Partial<Bar>[]): Phrase {
  return { ...p, bars: p.bars.map((b, i) => ({ ...b, ...bars[i] })) };
}

const marks = (...list: Mark[]): readonly Mark[] => list;

export const MUSICXML_CASES: readonly Phrase[] = [
  phrase(
    'Bends',
    'q 3/7(bend:E4) 3/7(rel:E4) 2/8(pre:A4) 2/8(prerel:A4) | q 3/5(curl) h 2/10(bend:B4) q 4/7(rel:B3) | ' +
      'q 3/5(bend:D4)+2/5(bend:F4) - 3/9(bend:F#4)+2/8 2/13+3/15=Bb(bend:C5)',
    { chords: 'G7 | C7 | G7' },
  ),
  phrase('A bend held over the bar line', 'h. 3/5 q 3/7(rel:E4,vib:wide) | w 3/7', {
    chords: 'A7',
  }),
  phrase(
    'Tuplets of other ratios',
    'e7:3 3/5 3/7 3/5 3/7 3/9 3/7 3/5 s15 2/5 2/6 2/8 2/6 2/5 2/6 2/8 2/10 2/8 2/6 2/5 3/7 3/5 3/7 3/9 e 2/5 | ' +
      'e2 3/5 3/7 s6 2/5 2/6 2/8 2/6 2/5 3/7 e4 3/5 3/7 3/9 3/7 | e5:3 3/5 - 3/7 3/5 3/4 e7:5 3/5 - 3/7 3/5 3/4 3/5 3/7',
    { chords: 'A7 | D7 | A7' },
  ),
  phrase(
    'Slides',
    'q 3/10(in:-1)+2/10(in:-1) 2/9(in:1) 3/5(in:below) 3/7(in:above) | ' +
      'e 3/5 3/7(s) 3/5(s) 3/7(S) q 4/7(out:up) 4/5(out:down) | e 3/4+2/5 3/5(s)+2/6(s) q 1/5 h 1/12(in:-2)',
    { chords: 'F | Bb7 | F', key: 'F' },
  ),
  phrase(
    'Legato',
    'e 3/5 3/7(h) 3/5(p) 3/0(p) s 4/0 4/2(h) 4/4(h) 4/2(p) q 4/0(p) | q 2/12(tap) e 2/5(p) 2/8(h) q 3/5+2/5 3/7(h)+2/8(h) | ' +
      'h 3/5 e 3/5 3/7(h) q 3/5(p)',
    { chords: 'Am7', key: 'Am' },
  ),
  phrase(
    'Graces and rakes',
    'q 3/7@g:3/5 3/7(h)@g:3/5 2/8@g:2/5;2/7~h;2/8~h 3/7(s)+2/8(s)@g:2/6&3/5 | q 1/8@rake:6.5.4.3.2 2/10(bend:B4)@rake:5.4.3 3/5(p)@g:3/7;3/8~h 3/7',
    { chords: 'C' },
  ),
  phrase(
    'Trills vibrato tremolo',
    'q 3/7(tr:Eb4) 3/7(tr:E4) 3/7(tr:F#4) 3/9(vib) | h. 2/8(vib:wide) q 2/10(tr:B4) | q 1/5@trem1 1/5@trem2 h 1/7@trem3',
    { chords: 'D7', key: 'D' },
  ),
  phrase(
    'Palm mutes dead and ghost notes',
    'e 5/3@pm 5/3@pm 5/5@pm 4/2 5/3@pm - 3/x5 3/x5+2/x5 | q 3/5(ghost) 3/7 e 4/5@pm 4/5@pm q 4/7@pm | h 4/7@pm 3/5(ring)',
    { chords: 'C7 | F7 | C7', second: 'w - | - | h - 6/3(ring)' },
  ),
  phrase(
    'Articulations and strokes',
    'e 3/5@down 3/7@up,acc 3/5@stac 3/7@ten q 4/5+3/5+2/5@sdown 4/5+3/5+2/5@sup,acc | q 3/5(f:1,pk:i) 2/5(f:2,pk:m) 5/3(f:T,pk:p) 1/5(f:4,pk:a)',
    { chords: 'Dm7 | G7', key: 'C' },
  ),
  phrase(
    'Harmonics and bar',
    'q 3/12(nat:12) 2/7(nat:19) 4/5(nat:24) 3/19(nat:19) | q 3/5(art:12) 2/3(pinch:24) 3/7(dip:2) 3/9(dip:1) | h. 3/12(nat:12) q 1/3 | w 3/7(art:12)',
    { chords: 'G' },
  ),
  phrase(
    'Ties of every length',
    'e 3/5+2/5 q. 3/7 h 3/5 | s 3/5 e. 3/7 h. 4/5 | e 3/7 h 2/5+3/5 q. 3/7',
    {
      chords: 'G7 | C7 | D7 G7',
      bars: 3,
      length: 3 * 40_320,
    },
  ),
  phrase(
    'Tuplets',
    'e3 3/5 3/7 3/8 2/8 q3 2/5 s5 1/5 1/5 1/8 1/5 1/5 q 2/8 | q3 3/5 3/7 - e7 2/5 2/6 2/7 2/8 2/7 2/6 2/5 | s9 1/5 1/5 1/5 1/5 1/5 1/5 1/5 1/5 1/5 q. 3/5 e 3/7',
    { chords: 'E7', key: 'E blues' },
  ),
  phrase(
    'Twelve eight',
    'e 3/5 q 3/7 q. 2/5 e 2/8 2/5 3/7 q 3/5 e 3/7 | q. 3/5 - e - 3/7 3/5 q. 4/7',
    {
      meter: '12/8',
      chords: 'A7 | D7',
      key: 'A blues',
      tempo: { bpm: 60, unit: 'dotted-quarter' },
    },
  ),
  phrase('Pickup and short end', 'e 3/5 3/6 3/7 | q 2/5 h 2/8 q 3/5 | q 3/7 e 3/5', {
    pickup: 15_120,
    length: 15_120 + 40_320 + 15_120,
    bars: 2,
    chords: 'Bb7 | Eb7',
    key: 'Bb blues',
    feel: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
  }),
  withBars(
    phrase('Repeats', 'w 3/5 | h 3/7 2/5 | w 2/8 | w 3/5 | w 3/7', {
      chords: 'C | F | G | C | C',
      feel: { kind: 'swing', unit: '16th', first: 3, second: 2 },
    }),
    [{ repeatStart: true }, {}, { ending: [1, 2], repeatEnd: 3 }, { ending: [3] }, {}],
  ),
  withBars(
    phrase('Meters', 'w 3/5 h. 3/7 e 3/5 3/7 q 2/5 e 2/8 2/5 q 3/5 3/7', {
      bars: 4,
      length: 40_320 + 30_240 + 30_240 + 20_160,
    }),
    [
      {},
      { meter: { beats: 3, beatType: 4 } },
      { meter: { beats: 6, beatType: 8 } },
      { meter: { beats: 2, beatType: 4 } },
    ],
  ),
  phrase('A drone under a line', 'e 2/5 1/3 2/5 1/5 q 2/8 - | e - 2/5 q 2/8 h 1/5', {
    chords: 'E7 | A7',
    key: 'E blues',
    second: 'w 6/0 | h 5/0 -',
  }),
  phrase('Chord symbols', 'q 3/5 3/7 2/5 2/8 | w 3/5 | w 3/7 | w 2/5 | w 2/6 | w 1/5', {
    chords:
      'Cm(maj7) F#7b9 Bb7#11/D Ebmaj9 | C7sus4 G7alt | Am7b5 Dbdim7 | NC E6/9 | Fadd9 Gm6 | A13 D5',
  }),
  phrase('A chord change inside a note and marks', 'w 3/5 | h 3/7 2/5', {
    chords: 'C Am F G | C',
    marks: marks(
      { kind: 'dynamic', onset: 0, value: 'mf' },
      { kind: 'words', onset: 15_120, text: 'let it <breathe> & "sing" ♭7' },
      { kind: 'dynamic', onset: 50_400, value: 'pp' },
    ),
  }),
  phrase('Half a step down with a capo', 'q 3/5 3/7 2/5 1/3 | w 4/7', {
    instrument: { tuning: tuning('Eb4 Bb3 Gb3 Db3 Ab2 Eb2'), capo: 3 },
    key: 'Eb',
    chords: 'Ebmaj7 | Ab6',
  }),
  phrase('Half a step down', 'q 3/5 3/7 2/5 1/3 | w 4/7(bend:B3)', {
    instrument: { tuning: tuning('Eb4 Bb3 Gb3 Db3 Ab2 Eb2') },
    key: 'Eb',
    chords: 'Eb7 | Ab7',
  }),
  phrase('Many flats', 'q 3/3=Bb 3/2=Bbb 4/4=Gb 4/3=F | h 4/4=Gb 4/2=Fb', {
    key: 'Gb blues',
    chords: 'Gb7 | Cb7',
    second: 'h 5/4=Db 5/3=C | w -',
  }),
  phrase('Many sharps', 'q 3/3=A# 3/4 3/5=B# 3/6=B## | w 4/4', { key: 'F#', chords: 'F#7 | B7' }),
  phrase('Ukulele', 'q 4/0 3/0 2/0 1/0 | e 1/3 1/2 2/3 2/1 h 3/2', {
    instrument: {
      name: 'Ukulele',
      tuning: tuning('A4 E4 C4 G4'),
      frets: 15,
      scaleLength: 349,
      clef: 'treble',
    },
    chords: 'C | F',
    key: 'C',
  }),
  phrase('Bass', 'e 4/3 4/3 3/2 3/5 q 2/5 2/3 | w 4/3', {
    instrument: {
      name: 'Bass',
      tuning: tuning('G2 D2 A1 E1'),
      frets: 20,
      scaleLength: 864,
      clef: 'bass-8',
    },
    chords: 'G7',
    key: 'G',
  }),
  phrase('Seven strings', 'q 7/0 7/3 6/0 5/2 | w 7/5', {
    instrument: { name: 'Seven-string', tuning: tuning('E4 B3 G3 D3 A2 E2 B1'), frets: 24 },
    chords: 'Bm',
    key: 'Bm',
  }),
  phrase('Text everywhere <&>', 'w 3/5(anchor:key,role:passing,pin,ant)', {
    chords: 'C7',
    meta: {
      styleOf: "nobody & 'everybody'",
      source: 'invented <here>',
      tags: ['a "tag"', 'b'],
      level: 3,
      notes: 'first line\nsecond <line>',
    },
    tempo: { bpm: 132.5, unit: 'half' },
  }),
];

import type { Bar, Instrument, Mark, Phrase, Pitch } from '../../src/core/phrase/types';
import { parsePitch } from '../../src/core/theory/pitch';
import type { EngraveOptions } from '../../src/engrave/options';
import { type BuildOptions, build } from './build';
import { degreesOf } from './engraving';

/** One phrase of the sheet with how it is set. */
export interface SheetItem {
  readonly name: string;
  readonly phrase: Phrase;
  readonly options: EngraveOptions;
}

type Set = Partial<EngraveOptions> & { readonly bars?: readonly Partial<Bar>[] };

function item(name: string, line: string, o: BuildOptions = {}, set: Set = {}): SheetItem {
  const { bars, ...options } = set;
  const built = build(line, o);
  const phrase: Phrase = {
    ...built,
    bars: built.bars.map((b, i) => ({ ...b, ...bars?.[i] })),
  };
  return { name, phrase, options: { width: 760, degrees: degreesOf(phrase), ...options } };
}

const tuning = (...names: readonly string[]): readonly Pitch[] =>
  names.map((n) => {
    const p = parsePitch(n);
    if (!p.ok) throw new Error(n);
    return p.value;
  });

const BASS: Partial<Instrument> = {
  name: 'Bass',
  tuning: tuning('G2', 'D2', 'A1', 'E1'),
  scaleLength: 864,
  frets: 20,
  clef: 'bass-8',
};
const UKULELE: Partial<Instrument> = {
  name: 'Ukulele',
  tuning: tuning('A4', 'E4', 'C4', 'G4'),
  scaleLength: 380,
  frets: 15,
  clef: 'treble',
};
const DROP_D: Partial<Instrument> = {
  tuning: tuning('E4', 'B3', 'G3', 'D3', 'A2', 'D2'),
  capo: 2,
};
const words = (onset: number, text: string): Mark => ({ kind: 'words', onset, text });

/** Short phrases made to crowd each sign; `sign-sheet.ts` draws them, the geometry test checks them. */
export const SIGN_SHEET: readonly SheetItem[] = [
  item(
    'vibrato',
    'q. 1/15(vib) e 2/8(vib:wide) e3 3/5(vib) 2/6 2/8(vib:wide) q 6/3(vib) | h. 2/8=G(vib)+1/8(vib:wide) e 1/8(s,vib) 1/10(vib)',
    { chords: 'Bbmaj7#11/E C7 | F7', key: 'Bb', marks: [words(0, 'with bite')] },
  ),
  item('vibrato-long', 'h. 1/8(vib) q - | w 2/8(vib:wide) | h 3/5(vib) q 3/7(vib) 3/5', {
    chords: 'C7 | F7 | Bbmaj7#11/E',
  }),
  item(
    'vibrato-390',
    'q. 1/15(vib) e 2/8(vib:wide) e3 3/5(vib) 2/6 2/8(vib:wide) q 6/3(vib) | h. 2/8(vib) q -',
    { chords: 'Bbmaj7#11/E | C7' },
    { width: 358, size: 6.5 },
  ),
  item(
    'vibrato-before-accidental',
    'q 2/8(vib:wide) 2/9=Ab(vib) 2/7=F#(vib)@g:2/5 2/8(in:-1,vib) | e 2/8(vib) 2/9=Ab(vib:wide) 2/8(vib) 2/7=F# q 3/5(vib)+4/6=Ab(vib) -',
    { chords: 'G7 | C7' },
  ),
  item(
    'slurs',
    'e 3/5 3/7(h) 3/5(p) 4/7 s 1/15 1/17(h) 1/15(p) 1/12 q. 5/3 | e 6/3 6/5(h) 6/3(p) 5/5 q. 1/17 q 1/20(s)',
    { chords: 'C7 | F7', meter: '9/8' },
  ),
  item(
    'slurs-flags',
    'e - 2/8 q 2/10(h) e - 3/5 q 3/7(s) | e. 2/5 s 2/8(h) q. 1/15 e 1/12(p) e. 4/5 s 4/7(h) | e3 3/5 3/7(h) 3/5(p) 2/8 2/10(h) 2/8(p) h 4/7',
    { chords: 'Am7 | D9 | Gmaj7' },
  ),
  item('slurs-two-voices', 'e 1/8 1/10(h) 1/8(p) 2/10 q 1/8 1/12(s) | e. 2/8 s 2/10(h) h. 1/8', {
    second: 'h 5/3 e 5/3 5/5(h) q 6/3 | w 6/3',
    chords: 'C | F',
  }),
  item(
    'slurs-double',
    'e 2/8+3/7 2/10(h)+3/9(h) q 2/8(s)+3/7(s) e3 2/5+3/5 2/6(h)+3/7(h) 2/5(p)+3/5(p) q 1/15+2/15',
    { chords: 'C7' },
  ),
  item(
    'ghosts',
    'e 3/5(ghost) 3/7(ghost) q. 2/5(ghost)+3/5(ghost) e 6/3(ghost) q 1/15(ghost) | e3 4/7(ghost) 3/5(ghost) 2/5 q. 1/17(ghost) e 2/8(ghost) q 3/9=E(ghost)@g:3/8=Eb | s 2/8(ghost) 2/9=Ab(ghost) 2/10=A(ghost) 2/11=Bb(ghost) q 2/8(pre:A4) h 2/8(prerel:A4)',
    { chords: 'C7 | F7 | C7' },
  ),
  item(
    'slide-off',
    'q 1/15(vib:wide,out:down) 1/8(vib:wide,out:up) 2/8(vib,out:down) 3/5(out:up) | e 6/3(out:down) 2/8(out:down)+3/9(out:down) q. 1/15(out:down) e 2/5 e3 2/8(out:up) 2/9=Ab(out:down) 2/8 | q 1/8(in:below,out:up) 1/8(in:above,vib) 4/7(in:below) 1/1(vib:wide,out:down)',
    { chords: 'C7 | F7 | C7' },
  ),
  item(
    'graces',
    'q 3/7(h)@g:3/5 2/5(p)@g:2/8 2/8(h)@g:2/5;2/7~h 1/15(h)@g:1/12 | e 3/9=E(h)@g:3/8=Eb 2/8 q 3/7(h)+2/8(h)@g:3/5&2/5 6/5(h)@g:6/3 1/8(s)@g:1/5 | e3 1/8(p)@g:1/10 1/5 2/8(h)@g:2/6=F q 5/3(h)@g:5/2 h 2/8(h)@g:2/5;2/6~h;2/7~h',
    { chords: 'C7 | F7 | Bbmaj7#11/E' },
  ),
  item(
    'graces-390',
    'q 3/7(h)@g:3/5 2/5(p)@g:2/8 2/8(h)@g:2/5;2/7~h 1/15(h)@g:1/12 | e 3/9=E(h)@g:3/8=Eb 2/8 q 3/7(h)+2/8(h)@g:3/5&2/5 h 1/8',
    { chords: 'C7 | F7' },
    { width: 358, size: 6.5 },
  ),
  item(
    'picking',
    'q 6/3(pk:p,f:3) 6/0(pk:p)+1/3(pk:a,f:3) e 6/3(pk:p) 4/5(pk:i,f:T) 3/4(pk:m) 1/3(pk:a) | e3 6/12(pk:p,f:1) 5/10(pk:i,f:3) 4/10(pk:m,f:2) q 6/3(pk:p,f:3)+5/2(pk:i,f:2)+4/0(pk:m)+3/0(pk:a) h 6/1(f:T,pk:p)+2/1(f:1,pk:i)',
    { chords: 'G7 | C7' },
  ),
  item(
    'picking-390',
    'q 6/3(pk:p,f:3) 6/0(pk:p)+1/3(pk:a,f:3) e 6/3(pk:p) 4/5(pk:i,f:T) 3/4(pk:m) 1/3(pk:a)',
    { chords: 'G7' },
    { width: 358, size: 6.5 },
  ),
  item('capo-tuning', 'q 6/0 6/3 5/0 4/2 | h 3/2 4/0', {
    instrument: DROP_D,
    chords: 'Bbmaj7#11/E | Dm7',
  }),
  item(
    'capo-tuning-390',
    'q 6/0 6/3 5/0 4/2 | h 3/2 4/0',
    {
      instrument: DROP_D,
      chords: 'D7 | Dm7',
      feel: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
      tempo: { bpm: 132, unit: 'dotted-quarter' },
    },
    { width: 358, size: 6.5 },
  ),
  item(
    'cautionary',
    'q 2/5 3/8=Eb 2/9=Ab+3/8=Eb 2/8 | e 3/9=E 2/10=A q 3/9=E(bend:F#4) h 2/10=A@g:2/9=Ab | q 3/11=F# 3/10=F h 1/1=F | e 1/1=F 1/2=F# q 1/1=F h 6/1=F+1/2=F#',
    { chords: 'Cm7 | C7 | D7 | G7' },
  ),
  item(
    'repeats',
    'q 1/15(vib) 2/8 3/5(bend:D4) 3/7 | h 2/8(vib:wide) q 1/8(out:down) 3/5 | w 3/5(bend:D4)',
    {
      chords: 'Bbmaj7#11/E C7 | F7 Bbmaj7#11/E | C7',
      marks: [words(0, 'over the first pass softly'), { kind: 'dynamic', onset: 0, value: 'mf' }],
    },
    { bars: [{ repeatStart: true }, { ending: [1], repeatEnd: 2 }, { ending: [2] }] },
  ),
  item(
    '12-8',
    'q. 3/5(bend:D4) e 2/8 2/10(h) 2/8(p) q 1/8(vib) e 1/5 e 3/5 3/7(ghost) 3/5 | q. 1/15(out:down) s 2/8 2/10(h) e 2/8 3/9=E h. 3/7(vib:wide)',
    { meter: '12/8', chords: 'C7 | F7 Bbmaj7#11/E', tempo: { bpm: 72, unit: 'dotted-quarter' } },
  ),
  item(
    'bass',
    'q 4/3(vib) e 4/5 3/5(h) 3/7(h) 2/5 q 1/12(vib:wide) | e 4/0(pk:i) 4/3(pk:m,f:4) 4/x3(pin) 3/2 q 3/5(bend:Eb2) 1/14(out:down)',
    { instrument: BASS, chords: 'Bbmaj7#11/E | C7' },
  ),
  item(
    'ukulele',
    'q 1/3(vib) e 1/5 1/7(h) 4/0(pk:p)+1/3(pk:a) 2/3 q 3/2(bend:E4) | e3 1/10(out:down) 2/8 3/7 q 4/2(pk:p,f:1)+3/0+2/3(f:2)+1/0(pk:a) h 1/12',
    { instrument: UKULELE, chords: 'Bbmaj7#11/E | C7' },
  ),
  item(
    'unison',
    'q 2/13+3/15(bend:C5) e 1/8+2/11(bend:C5) 1/8 h 2/13(vib)+3/15(bend:C5,vib) | e3 2/8+3/10(bend:G4) 2/8+3/10(bend:G4) 2/8+3/10(bend:G4) q 1/8+2/11(pre:C5) h 5/5+6/8(bend:D3)',
    { chords: 'C7 | F7' },
  ),
  ...unequal(),
];

/** Bends of two strings by different widths: a whole tone below, a half above, and the other way. */
function unequal(): readonly SheetItem[] {
  const G7 = { chords: 'G7 | C7' };
  return [
    item(
      'unequal',
      'h 3/5=C(bend:D4)+2/5=E(bend:F4) 3/7=D(bend:Eb4)+2/6=F(bend:G4) | q 3/5=C(bend:D4)+2/5=E(bend:F4) 3/5=C(rel:D4)+2/5=E(rel:F4) 3/5=C(pre:D4)+2/5=E(pre:F4) 3/5=C(prerel:D4)+2/5=E(prerel:F4)',
      G7,
    ),
    item(
      'unequal-vibrato',
      'h 3/5=C(bend:D4,vib)+2/5=E(bend:F4) 3/5=C(bend:D4)+2/5=E(bend:F4,vib:wide) | q. 3/5=C(rel:D4)+2/5=E(bend:F4) e 3/7 q 3/5=C(bend:D4)+2/5=E(rel:F4) 3/5=C(pre:D4)+2/5=E(bend:F4)',
      G7,
    ),
    item(
      'unequal-tab',
      'h 3/5=C(bend:D4)+2/5=E(bend:F4) 3/7=D(bend:Eb4)+2/6=F(bend:G4) | q 3/5=C(bend:D4,vib)+2/5=E(bend:F4) 3/5=C(rel:D4)+2/5=E(rel:F4) 3/5=C(pre:D4)+2/5=E(pre:F4) 3/5=C(prerel:D4)+2/5=E(prerel:F4)',
      G7,
      { staves: 'tab' },
    ),
    item(
      'unequal-staff',
      'h 3/5=C(bend:D4)+2/5=E(bend:F4) 3/7=D(bend:Eb4)+2/6=F(bend:G4) | q 3/5=C(bend:D4,vib)+2/5=E(bend:F4) 3/5=C(rel:D4)+2/5=E(rel:F4) 3/5=C(pre:D4)+2/5=E(pre:F4) 3/5=C(prerel:D4)+2/5=E(prerel:F4)',
      G7,
      { staves: 'staff' },
    ),
    item(
      'unequal-390',
      'h 3/5=C(bend:D4,vib)+2/5=E(bend:F4) q 3/5=C(rel:D4)+2/5=E(rel:F4) e 3/5=C(pre:D4)+2/5=E(pre:F4) 3/5',
      G7,
      { width: 358, size: 6.5 },
    ),
    item(
      'unequal-high',
      'h 2/15=D(bend:E5)+1/15=G(bend:Ab5) q. 2/13=C(rel:D5)+1/13=F(rel:F#5) e 1/15 | h 2/13=C(bend:D5)+1/13=F(bend:F#5,vib) e3 2/13(bend:D5)+1/13(bend:F#5) 1/15 2/13 q 3/14+2/15(bend:E5)+1/15(bend:G#5)',
      { chords: 'Bbmaj7#11/E | C7' },
    ),
    item(
      'unequal-low',
      'h 6/5(bend:B2)+5/5(bend:Eb3) q. 5/3(bend:D3)+4/5(bend:Ab3) e 6/3 | q 4/5=G(bend:A3)+3/5=C(bend:C#4) 4/5=G(rel:A3)+3/5=C(curl) h 3/5(curl)+2/5(bend:F4)',
      { chords: 'C7 | F7' },
    ),
    item(
      'three-bends',
      'h 3/5=C(bend:D4)+2/5=E(bend:F4)+1/5=A(bend:Bb4) q 3/5(bend:D4)+2/5+1/5(bend:Bb4) 4/5=G(bend:A3)+2/5=E(rel:F4)+1/5',
      { chords: 'Am7' },
    ),
    item(
      'held-tied',
      'h. 3/5 q. 3/5=C(bend:D4)+2/5=E(bend:F4) e 3/5 q 3/7(vib) 3/5=C(bend:D4)+2/8 q. 3/5=C(rel:D4)+2/5=E(rel:F4) e 3/5 h 3/5=C(pre:D4)+2/5=E(pre:F4,vib) q. 3/9=E(bend:F#4) e 3/9=E(bend:F4)',
      { chords: 'C7 | F7 | G7' },
    ),
    item(
      'let-go',
      'q 4/5 w 3/5=C(rel:D4)+2/5=E(rel:F4) h 3/5=C(bend:D4)+2/8 q 4/5 | w 3/5=C(prerel:D4)+2/5=E(pre:F#4)',
      { chords: 'C7 | F7 | G7' },
    ),
    item(
      'held',
      'h 3/5=C(bend:D4)+2/8 q 3/5=C(bend:D4)+1/5 3/7(bend:E4)+4/7 | w 3/5=C(bend:D4)+2/5=E(bend:F4) | h. 3/5=C(bend:D4)+2/5=E(bend:F4) q 3/7@g:3/5',
      { chords: 'C7 | G7 | G7' },
    ),
  ];
}

import { formOfBars } from '../../src/core/backing/form';
import type { BackingForm } from '../../src/core/backing/types';
import { parseLane } from '../../src/core/move/lane';
import type { Meter } from '../../src/core/phrase/types';
import { parseKey } from '../../src/core/theory/key';

/** Changes of standard forms, in numerals (common practice), and every quality of the theory in turn. */
export const FORMS: readonly {
  readonly name: string;
  readonly key: string;
  readonly meter: string;
  readonly lane: string;
}[] = [
  {
    name: 'twelve-bar blues',
    key: 'G blues',
    meter: '4/4',
    lane: 'I7|IV7|I7|I7|IV7|IV7|I7|I7|V7|IV7|I7|V7',
  },
  {
    name: 'twelve-bar blues with ii and V',
    key: 'F blues',
    meter: '4/4',
    lane: 'I7|IV7|I7|v7 I7|IV7|#iv°7|I7|iii7 VI7|ii7|V7|I7 VI7|ii7 V7',
  },
  { name: 'minor blues', key: 'Cm', meter: '12/8', lane: 'i7|i7|i7|i7|iv7|iv7|i7|i7|VI7|V7|i7|V7' },
  { name: 'eight-bar blues', key: 'E blues', meter: '12/8', lane: 'I7|V7|IV7|IV7|I7|V7|I7|V7' },
  {
    name: 'sixteen bars',
    key: 'Bb',
    meter: '4/4',
    lane: 'I7|I7|I7|I7|I7|I7|I7|I7|IV7|IV7|I7|I7|V7|IV7|I7|V7',
  },
  {
    name: 'thirty-two bars, AABA',
    key: 'Bb',
    meter: '4/4',
    lane:
      Array(2).fill('I VI7|ii7 V7|I VI7|ii7 V7|I I7|IV #iv°7|I V7|I').join('|') +
      '|III7|III7|VI7|VI7|II7|II7|V7|V7|I VI7|ii7 V7|I VI7|ii7 V7|I I7|IV #iv°7|ii7 V7|I',
  },
  { name: 'waltz', key: 'D', meter: '3/4', lane: 'I|vi7|ii7|V7|I|VI7|ii7|V7' },
  { name: 'four chords', key: 'A', meter: '4/4', lane: 'I|V|vi|IV' },
  { name: 'one chord', key: 'Em', meter: '4/4', lane: 'i7' },
  { name: 'two in a bar', key: 'C', meter: '2/4', lane: 'I|V7|I|IV V7' },
  { name: 'five', key: 'Ebm', meter: '5/4', lane: 'i7|iv7|i7|V7alt' },
  { name: 'seven eighths', key: 'Dm', meter: '7/8', lane: 'i|bVII|bVI|V7' },
  { name: 'six eighths', key: 'G', meter: '6/8', lane: 'I|vi|IV|V' },
];

/** Symbols of every kind that the theory has a row for. */
export const QUALITIES: readonly string[] = [
  'C',
  'Cm',
  'Caug',
  'Cdim',
  'C7',
  'Cmaj7',
  'Cm7',
  'Cdim7',
  'C7#5',
  'Cm7b5',
  'Cm(maj7)',
  'C6',
  'Cm6',
  'C9',
  'Cmaj9',
  'Cm9',
  'C11',
  'Cmaj11',
  'Cm11',
  'C13',
  'Cmaj13',
  'Cm13',
  'Csus2',
  'Csus4',
  'C7sus4',
  'C9sus4',
  'C13sus4',
  'C5',
  'C7alt',
  'C6/9',
  'Cm6/9',
  'Cadd9',
  'Cmadd9',
  'C7b9',
  'C7#9',
  'C7b5',
  'C7#11',
  'C9#11',
  'C7b13',
  'C7b9b13',
  'C7#9b13',
  'C13b9',
  'C13#11',
  'Cmaj7#5',
  'Cmaj7#11',
  'C/E',
  'C7/Bb',
  'Cm/G',
  'Cm7/F',
  'C/D',
  'C7no3',
  'C7b9sus4',
];

/** A form of the list by its name, or any lane in C, in 4/4. */
export function formNamed(name: string, bpm = 110): BackingForm {
  const f = FORMS.find((x) => x.name === name) ?? { key: 'C', meter: '4/4', lane: name };
  const key = parseKey(f.key);
  if (key === null) throw new Error(`${f.key} is no key`);
  const bars = parseLane(f.lane, key);
  if (!bars.ok) throw new Error(`${name}: ${bars.problems[0]?.message}`);
  const [beats = 4, beatType = 4] = f.meter.split('/').map(Number);
  const meter: Meter = { beats, beatType: beatType as Meter['beatType'] };
  const tempo = { bpm, unit: 'quarter' } as const;
  const made = formOfBars({ key, meter, tempo, bars: bars.value });
  if (!made.ok) throw new Error(`${name}: ${made.problems[0]?.message}`);
  return made.value;
}

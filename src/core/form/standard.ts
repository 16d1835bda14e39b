import type { Feel, Meter, Tempo } from '../phrase/types';
import type { Form, FormSection } from './types';

const FOUR: Meter = { beats: 4, beatType: 4 };
const TWELVE: Meter = { beats: 12, beatType: 8 };
const STRAIGHT: Feel = { kind: 'straight' };
const SHUFFLE: Feel = { kind: 'swing', unit: 'eighth', first: 2, second: 1 };

const quarters = (bpm: number): Tempo => ({ bpm, unit: 'quarter' });
const dotted = (bpm: number): Tempo => ({ bpm, unit: 'dotted-quarter' });
const whole = (bars: string): readonly [FormSection] => [{ name: '', bars }];

/** Changes that belong to nobody (common practice). */
export const STANDARD_FORMS: readonly Form[] = [
  {
    id: 'blues',
    title: 'twelve-bar blues',
    mode: 'blues',
    meter: FOUR,
    feel: SHUFFLE,
    tempo: quarters(110),
    sections: whole('I7|I7|I7|I7|IV7|IV7|I7|I7|V7|IV7|I7|V7'),
  },
  {
    id: 'quick-change',
    title: 'twelve-bar blues with a quick change',
    mode: 'blues',
    meter: FOUR,
    feel: SHUFFLE,
    tempo: quarters(110),
    sections: whole('I7|IV7|I7|I7|IV7|IV7|I7|I7|V7|IV7|I7|V7'),
  },
  {
    id: 'slow-blues',
    title: 'slow twelve-bar blues in 12/8',
    mode: 'blues',
    meter: TWELVE,
    feel: STRAIGHT,
    tempo: dotted(56),
    sections: whole('I7|IV7|I7|I7|IV7|IV7|I7|I7|V7|IV7|I7 IV7|I7 V7'),
  },
  {
    id: 'minor-blues',
    title: 'minor blues',
    mode: 'minor',
    meter: FOUR,
    feel: STRAIGHT,
    tempo: quarters(100),
    sections: whole('i7|i7|i7|i7|iv7|iv7|i7|i7|VI7|V7|i7|V7'),
  },
  {
    id: 'blues-turnaround',
    title: 'twelve-bar blues with ii and V',
    mode: 'blues',
    meter: FOUR,
    feel: SHUFFLE,
    tempo: quarters(132),
    sections: whole('I7|IV7|I7|v7 I7|IV7|#iv°7|I7|iii7 VI7|ii7|V7|I7 VI7|ii7 V7'),
  },
  {
    id: 'blues-ending',
    title: 'twelve-bar blues with a turnaround and an ending',
    mode: 'blues',
    meter: FOUR,
    feel: SHUFFLE,
    tempo: quarters(110),
    sections: [
      { name: 'A', bars: 'I7|IV7|I7|I7|IV7|IV7|I7|I7|V7|IV7' },
      { name: 'turnaround', bars: 'I7 IV7|I7 V7' },
      { name: 'ending', bars: 'I7 IV7|I7' },
    ],
  },
  {
    id: 'eight-bars',
    title: 'eight-bar blues',
    mode: 'blues',
    meter: FOUR,
    feel: SHUFFLE,
    tempo: quarters(96),
    sections: whole('I7|V7|IV7|IV7|I7|V7|I7 IV7|I7 V7'),
  },
  {
    id: 'sixteen-bars',
    title: 'sixteen-bar blues',
    mode: 'blues',
    meter: FOUR,
    feel: SHUFFLE,
    tempo: quarters(112),
    sections: whole('I7|I7|I7|I7|I7|I7|I7|I7|IV7|IV7|I7|I7|V7|IV7|I7|V7'),
  },
  {
    id: 'aaba',
    title: 'thirty-two bars, AABA',
    mode: 'major',
    meter: FOUR,
    feel: SHUFFLE,
    tempo: quarters(140),
    sections: [
      { name: 'A', bars: 'Imaj7|vi7|ii7|V7|Imaj7|vi7|ii7 V7|Imaj7' },
      { name: 'A', bars: 'Imaj7|vi7|ii7|V7|Imaj7|vi7|ii7 V7|Imaj7' },
      { name: 'B', bars: 'IVmaj7|IVmaj7|iii7|VI7|ii7|ii7|II7|V7' },
      { name: 'A', bars: 'Imaj7|vi7|ii7|V7|Imaj7|vi7|ii7 V7|Imaj7' },
    ],
  },
  {
    id: 'two-a-bar',
    title: 'thirty-two bars with two chords a bar and a bridge of dominants',
    mode: 'major',
    meter: FOUR,
    feel: SHUFFLE,
    tempo: quarters(168),
    sections: [
      { name: 'A', bars: 'I VI7|ii7 V7|I VI7|ii7 V7|I I7|IV #iv°7|I VI7|ii7 V7' },
      { name: 'A', bars: 'I VI7|ii7 V7|I VI7|ii7 V7|I I7|IV #iv°7|I V7|I' },
      { name: 'B', bars: 'III7|III7|VI7|VI7|II7|II7|V7|V7' },
      { name: 'A', bars: 'I VI7|ii7 V7|I VI7|ii7 V7|I I7|IV #iv°7|I V7|I' },
    ],
  },
  {
    id: 'one-chord',
    title: 'eight bars over one dominant chord',
    mode: 'blues',
    meter: FOUR,
    feel: STRAIGHT,
    tempo: quarters(104),
    sections: whole('I7|I7|I7|I7|I7|I7|I7|I7'),
  },
  {
    id: 'two-chords',
    title: 'eight bars over ii and V',
    mode: 'major',
    meter: FOUR,
    feel: STRAIGHT,
    tempo: quarters(104),
    sections: whole('ii7|V7|ii7|V7|ii7|V7|ii7|V7'),
  },
];

/** The standard form that a person means by its short name or its title, whatever the capitals. */
export function standardFormCalled(name: string): Form | undefined {
  const plain = name.trim().toLowerCase();
  return STANDARD_FORMS.find((f) => f.id === plain || f.title.toLowerCase() === plain);
}

/** A standard form by its short name. */
export function standardForm(id: string): Form | undefined {
  return STANDARD_FORMS.find((f) => f.id === id);
}

import { approachAbove, approachBelow, enclosure } from './around-notes';
import { doubleAbove, doubleBelow, fourths, singleLine, sixths, thirds } from './double-stops';
import type { Offer } from './draft';
import { callAndAnswer, carry, sequenceDown, sequenceUp } from './figures';
import { augment, diminish, displace, shuffle, straighten } from './in-time';
import { bend, curl, grace, hammerOn, plain, slideIn } from './into-notes';
import type { Work } from './line';
import { busier, doubling, thin, understate } from './more-or-less';
import { majorPentatonic, minorPentatonic } from './pentatonic';
import { octaveDown, octaveUp, turnEnding } from './the-line';

/** What a variation is about; the order in which they are offered. */
export const VARIATION_GROUPS = {
  strings: 'A second string',
  into: 'Into the note',
  around: 'Around the note',
  amount: 'More said, or less',
  time: 'At another time',
  line: 'Another way for the line',
} as const;

export type VariationGroup = keyof typeof VARIATION_GROUPS;

export interface Variation {
  readonly group: VariationGroup;
  /** What a player calls it; it fits behind 'with' or stands alone. */
  readonly words: string;
  /** What every result keeps to, in a sentence without a full stop; a test holds it. */
  readonly promise: string;
  readonly offer: (work: Work) => Offer;
}

/** Every variation by its name; the only list of them. */
export const VARIATIONS = {
  'double-below': {
    group: 'strings',
    words: 'double stops, a chord tone below',
    promise: 'the melody stays on top, every note that is added is a chord tone below it',
    offer: doubleBelow,
  },
  'double-above': {
    group: 'strings',
    words: 'double stops, a chord tone above',
    promise: 'the melody stays below, every note that is added is a chord tone above it',
    offer: doubleAbove,
  },
  thirds: {
    group: 'strings',
    words: 'in thirds',
    promise: 'every note that is added lies a third of the scale below the melody',
    offer: thirds,
  },
  sixths: {
    group: 'strings',
    words: 'in sixths',
    promise: 'every note that is added lies a sixth of the scale below the melody',
    offer: sixths,
  },
  fourths: {
    group: 'strings',
    words: 'in fourths',
    promise: 'every note that is added lies a perfect fourth below the melody',
    offer: fourths,
  },
  'single-notes': {
    group: 'strings',
    words: 'single notes',
    promise: 'one note at a time is left, the highest',
    offer: singleLine,
  },
  'slide-in': {
    group: 'into',
    words: 'slid into from below',
    promise: 'the same notes at the same times, some slid into from one or two frets below',
    offer: slideIn,
  },
  grace: {
    group: 'into',
    words: 'grace notes',
    promise: 'the same notes at the same times, some with a grace note hammered in from below',
    offer: grace,
  },
  'hammer-on': {
    group: 'into',
    words: 'hammered on',
    promise: 'every note of before is there; some begin on the degree below and are hammered up',
    offer: hammerOn,
  },
  bend: {
    group: 'into',
    words: 'reached by bends',
    promise:
      'the same is heard at the same times, some of it reached by a bend from the degree below',
    offer: bend,
  },
  curl: {
    group: 'into',
    words: 'blue notes curled',
    promise: 'the same notes at the same times, some of ♭3, ♭5 and ♭7 a quarter tone up',
    offer: curl,
  },
  plain: {
    group: 'into',
    words: 'plain',
    promise: 'what is heard stays, plucked plainly: no bend, slide, hammer or grace',
    offer: plain,
  },
  'approach-below': {
    group: 'around',
    words: 'approached from below',
    promise: 'a semitone leads up into chord tones, which stay where they are',
    offer: approachBelow,
  },
  'approach-above': {
    group: 'around',
    words: 'approached from above',
    promise: 'a note of the scale leads down into chord tones, which stay where they are',
    offer: approachAbove,
  },
  enclosure: {
    group: 'around',
    words: 'enclosed',
    promise: 'a note above and one below lead into chord tones, which stay where they are',
    offer: enclosure,
  },
  understated: {
    group: 'amount',
    words: 'understated',
    promise: 'fewer and longer notes, and of those on the beat no smaller share are chord tones',
    offer: understate,
  },
  thinned: {
    group: 'amount',
    words: 'thinned out',
    promise: 'fewer notes, each at its own time and no longer than before',
    offer: thin,
  },
  busier: {
    group: 'amount',
    words: 'busier',
    promise: 'every note keeps its beginning, and notes of the scale lie between',
    offer: busier,
  },
  doubled: {
    group: 'amount',
    words: 'long notes struck twice',
    promise: 'the same pitches in the same order, some struck twice in the same time',
    offer: doubling,
  },
  displaced: {
    group: 'time',
    words: 'displaced',
    promise: 'the same line, all of it earlier or later by the same time',
    offer: displace,
  },
  augmented: {
    group: 'time',
    words: 'twice as slow',
    promise: 'what is kept has twice the length, over the same chords in the same order',
    offer: augment,
  },
  diminished: {
    group: 'time',
    words: 'twice as fast',
    promise: 'half the length for every note, over the chord it had',
    offer: diminish,
  },
  shuffled: {
    group: 'time',
    words: 'as a shuffle',
    promise: 'the same notes as they are written, swung 2:1',
    offer: shuffle,
  },
  straight: {
    group: 'time',
    words: 'straight',
    promise: 'the same notes as they are written, not swung',
    offer: straighten,
  },
  'call-and-answer': {
    group: 'time',
    words: 'call and answer',
    promise: 'the first half stays, the second has its rhythm and ends on a chord tone of its own',
    offer: callAndAnswer,
  },
  'sequence-up': {
    group: 'line',
    words: 'a figure climbing',
    promise:
      'the first notes again and again in their rhythm, a step of the scale higher each time',
    offer: sequenceUp,
  },
  'sequence-down': {
    group: 'line',
    words: 'a figure descending',
    promise: 'the first notes again and again in their rhythm, a step of the scale lower each time',
    offer: sequenceDown,
  },
  carried: {
    group: 'line',
    words: 'carried through the chords',
    promise: 'every chord has what the first one has, in its rhythm and with each note in its role',
    offer: carry,
  },
  'minor-pentatonic': {
    group: 'line',
    words: 'in the minor pentatonic',
    promise: 'the same times, and every note one of R ♭3 4 5 ♭7 over the key',
    offer: minorPentatonic,
  },
  'major-pentatonic': {
    group: 'line',
    words: 'in the major pentatonic',
    promise: 'the same times, and every note one of R 2 3 5 6 over the key',
    offer: majorPentatonic,
  },
  'octave-up': {
    group: 'line',
    words: 'an octave up',
    promise: 'every pitch twelve semitones higher',
    offer: octaveUp,
  },
  'octave-down': {
    group: 'line',
    words: 'an octave down',
    promise: 'every pitch twelve semitones lower',
    offer: octaveDown,
  },
  'other-ending': {
    group: 'line',
    words: 'another ending',
    promise: 'all but the last note stay, and that goes to another tone of its chord',
    offer: turnEnding,
  },
} as const satisfies Readonly<Record<string, Variation>>;

export type VariationId = keyof typeof VARIATIONS;

export const VARIATION_IDS = Object.keys(VARIATIONS) as readonly VariationId[];

/** The row of a variation. */
export function variationOf(id: VariationId): Variation {
  return VARIATIONS[id];
}

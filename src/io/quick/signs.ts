import { type NoteValue, ticksOfValue } from '../../core/phrase/note-value';
import type { Role, Ticks } from '../../core/phrase/types';
import type { TechniqueField } from '../../core/technique/fields';

/**
 * Quick text: a phrase in one line, as a player would say it.
 *
 *     [A blues, 4/4, 96 quarters, swing 2:1] {A7} e 3:5 7 2:5 8b10 q 5~ r | {D7} 3(e 3:7 5 4:7) h 3:5+2:5
 *
 * Words are parted by spaces. `{…}` is a chord from here on, `|` a bar line, `r` a rest. A value
 * letter holds until the next one, and so does a string: `3:5 7` are frets 5 and 7 on string 3. A
 * degree is written `=b7`; octave and string come from the note before. What happens to a note is
 * written at its fret, before it how it is reached and after it what is done to it; what concerns the
 * whole moment follows `!`, and what a note means or which finger plays it follows `;`.
 *
 * Signs are those of the trade where it has one (h p / \ b r ~ x T, `<12>`, `(5)`), the value letters
 * and bends as in this program's own tablature in text; the rest is ours.
 */
export interface QuickSign {
  readonly sign: string;
  readonly meaning: string;
  /** Words that can stand alone in 4/4, in C major, in standard tuning. */
  readonly example: string;
}

/** Every sign with its meaning, for the help page; each example is read by a test. */
export const QUICK_SIGNS: readonly QuickSign[] = [
  {
    sign: '[ ]',
    meaning:
      'the head, before all else: key, metre, tempo, feel, instrument or tuning, capo, title; what it leaves out is C major, 4/4, 100 quarters, straight, a guitar in standard tuning',
    example: '[A blues, 4/4, 96 quarters, swing 2:1, drop D, capo 2, "Uphill"] q 3:5',
  },
  {
    sign: 'w h q e s t',
    meaning: 'whole, half, quarter, eighth, 16th, 32nd from here on',
    example: 'q 3:5 e 7',
  },
  { sign: '64 128', meaning: '64ths and 128ths: `v64`, `v128`', example: 'v64 3:5' },
  { sign: 'q.', meaning: 'dotted', example: 'q. 3:5 e 7' },
  { sign: 'q_e', meaning: 'values tied together', example: 'q_e 3:5' },
  {
    sign: '3( )',
    meaning:
      'a tuplet: 3, 5, 6, 7 or 9 in the time of 2, 4, 4, 4 or 8, and 2 or 4 in the time of 3',
    example: '3(e 3:5 7 5)',
  },
  {
    sign: '7:3( )',
    meaning: 'a tuplet of another ratio: seven in the time of three',
    example: '7:3(e 3:5 7 5 7 5 7 5)',
  },
  {
    sign: '3:5',
    meaning: 'string 3, fret 5; the string holds until another is named',
    example: 'e 3:5 7 2:5',
  },
  {
    sign: '=b7',
    meaning: 'a degree, nearest to the note before; =b7^ and =b7_ an octave up and down',
    example: 'q =R =3 =5 =b7',
  },
  { sign: '+', meaning: 'together: double stops and chords', example: 'q 3:9+2:8' },
  { sign: 'r', meaning: 'a rest', example: 'q r 3:5' },
  {
    sign: '|',
    meaning: 'a bar line; a first bar that is too short is a pickup',
    example: 'w 3:5 | 7',
  },
  { sign: '|: :|', meaning: 'repeats; `:|3` is played three times', example: '|: w 3:5 :|' },
  { sign: '|1. |2.', meaning: 'endings', example: '|: w 3:5 |1. 7 :| |2. 5' },
  {
    sign: '{A7}',
    meaning:
      'a chord symbol or numeral from here on, behind a bar line from the line on; {N.C.} for none',
    example: '{IV7} q 3:5',
  },
  { sign: '6/8', meaning: 'another metre from this bar on', example: 'w 3:5 | 3/4 h. 7' },
  { sign: 'h p', meaning: 'hammered on, pulled off', example: 'e 3:5 h7 p5' },
  {
    sign: '/ \\',
    meaning: 'slid to from the note before, not plucked again',
    example: 'e 3:5 /7 \\5',
  },
  { sign: 'S/ S\\', meaning: 'the same, plucked again', example: 'e 3:5 S/7' },
  { sign: 'T', meaning: 'tapped', example: 'e 3:T12' },
  { sign: 'g4/', meaning: 'slid into from fret 4 for a moment', example: 'e 3:g4/5' },
  { sign: 'g/ g\\', meaning: 'slid into from somewhere below, above', example: 'e 3:g/5' },
  { sign: 'g4,', meaning: 'a grace note before it, on its string', example: 'e 3:g4,h5' },
  { sign: '5/ 5\\', meaning: 'slid off upwards, downwards', example: 'e 3:5\\' },
  { sign: '8b10', meaning: 'bent to sound like fret 10', example: 'q 2:8b10' },
  { sign: '8b10r8', meaning: 'bent and released', example: 'q 2:8b10r8' },
  {
    sign: '8pb10 8pb10r8',
    meaning: 'bent before it is struck; and released',
    example: 'q 2:8pb10r8',
  },
  { sign: '8bq', meaning: 'curled up a quarter tone', example: 'q 2:8bq' },
  {
    sign: '8b10@0,0@80,100@100,100',
    meaning: 'a bend by its points: percent of the note, percent of the width',
    example: 'q 2:8b10@0,0@80,100@100,100',
  },
  { sign: '~ ~~', meaning: 'vibrato, wide vibrato', example: 'q 2:8~' },
  { sign: 'tr10', meaning: 'trilled with fret 10', example: 'q 2:8tr10' },
  { sign: 'v2', meaning: 'dipped two semitones with the bar', example: 'q 2:8v2' },
  { sign: '(5)', meaning: 'a ghost note', example: 'e 3:(5)' },
  { sign: 'x5', meaning: 'a dead note at fret 5', example: 'e 3:x5' },
  {
    sign: 'x5/ x5\\',
    meaning: 'the pick scraped up, down the neck along the string',
    example: 'q 5:x5\\',
  },
  { sign: '<12>', meaning: 'a natural harmonic over fret 12', example: 'q 3:<12>' },
  {
    sign: '5<17> 5<PH>',
    meaning:
      'an artificial harmonic touched at fret 17; a pinch harmonic, with <PH19> a twelfth up',
    example: 'q 3:5<17>',
  },
  { sign: '5=', meaning: 'left ringing', example: 'q 3:5=' },
  { sign: '!d !u', meaning: 'down-stroke, up-stroke', example: 'q 3:5!d' },
  { sign: '!D !U', meaning: 'strummed down, up', example: 'q 3:5+2:5!D' },
  { sign: '!> !. !-', meaning: 'accent, staccato, tenuto', example: 'q 3:5!> 5!. 5!-' },
  { sign: '!pm', meaning: 'palm muted', example: 'q 3:5!pm' },
  { sign: '!/ !// !///', meaning: 'tremolo picking', example: 'q 3:5!//' },
  { sign: '!k65', meaning: 'raked into over strings 6 and 5', example: 'q 3:5!k65' },
  {
    sign: '!G3:4+2:4',
    meaning: 'grace notes on several strings, one after the other by |',
    example: 'q 3:5+2:5!G3:4+2:4',
  },
  { sign: '!?', meaning: 'its length is a guess', example: 'q 3:5!?' },
  { sign: ';1 ;T', meaning: 'the finger of the fretting hand', example: 'q 3:5;1' },
  { sign: ';p ;i ;m ;a ;c', meaning: 'the finger of the picking hand', example: 'q 3:5;m' },
  { sign: ';Eb', meaning: 'spelled so', example: 'q 3:8;D#' },
  { sign: ';pin', meaning: 'kept on its string in every move', example: 'q 3:5;pin' },
  { sign: ';chord ;key ;goal', meaning: 'what it follows in a move', example: 'q 3:5;key' },
  {
    sign: ';next ;this',
    meaning: 'counted with the next chord, with this one',
    example: '{C} q r r r 3:5;next | {F} w 5',
  },
  {
    sign: ';passing',
    meaning: 'its role: tone, blue, approach, passing, neighbour, extension, outside',
    example: 'q 3:6;passing',
  },
  { sign: '%mf', meaning: 'a dynamic from here on', example: '%mf q 3:5' },
  { sign: '"…"', meaning: 'words over the note', example: '"lazily" q 3:5' },
  {
    sign: "'7560",
    meaning: 'a length in ticks, 10080 to a quarter, where no value says it',
    example: "'7560 3:5",
  },
  {
    sign: "{A7}'5040",
    meaning:
      "a chord, dynamic or words at a tick inside a note; also a tuplet's ends, 3'5040( and )'15120",
    example: "w 3:5 {A7}'5040",
  },
  { sign: '2nd:', meaning: 'the second voice, from the beginning', example: 'w 2:5 2nd: w 5:3' },
];

/**
 * The sign of `QUICK_SIGNS` that says each technique. A test reads their examples, so that what can
 * be written can be read.
 */
export const TECHNIQUE_SIGNS: Readonly<Record<TechniqueField, string>> = {
  attack: 'h p',
  slideIn: 'g4/',
  slideOut: '5/ 5\\',
  bend: '8b10',
  vibrato: '~ ~~',
  trill: 'tr10',
  harmonic: '<12>',
  barDip: 'v2',
  letRing: '5=',
  ghost: '(5)',
  scrape: 'x5/ x5\\',
  finger: ';1 ;T',
  pluck: ';p ;i ;m ;a ;c',
  graces: 'g4,',
  rake: '!k65',
  stroke: '!d !u',
  strum: '!D !U',
  palmMute: '!pm',
  staccato: '!> !. !-',
  accent: '!> !. !-',
  tenuto: '!> !. !-',
  tremolo: '!/ !// !///',
};

/** Value letters, as in our tablature in text. */
export const VALUE_WORDS: Readonly<Record<string, NoteValue>> = {
  w: 'whole',
  h: 'half',
  q: 'quarter',
  e: 'eighth',
  s: '16th',
  t: '32nd',
  v64: '64th',
  v128: '128th',
};

/** `q`, `e.`: how long a value word is. */
export function ticksOfWord(word: string): Ticks {
  const dots = word.endsWith('.') ? 1 : 0;
  return ticksOfValue({ value: VALUE_WORDS[word.replace('.', '')]!, dots });
}

/** Roles in one word each. */
export const ROLE_WORDS: Readonly<Record<string, Role>> = {
  tone: 'chord tone',
  blue: 'blue note',
  approach: 'approach',
  passing: 'passing',
  neighbour: 'neighbour',
  extension: 'extension',
  outside: 'outside',
};

/** Frets above the stopped one where an artificial harmonic is touched, by what sounds above it. */
export const TOUCHED: Readonly<Record<12 | 19 | 24, number>> = { 12: 12, 19: 7, 24: 5 };

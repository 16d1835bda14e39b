import {
  NOTE_VALUES,
  type NoteValue,
  ticksOfValue,
  valueOfTicks,
  type WrittenValue,
} from '../../phrase/note-value';
import { playedIn } from '../../phrase/tuplet';
import type { TupletRatio } from '../../phrase/tuplet-ratio';
import { readRatioText, sameRatio, tupletRatio } from '../../phrase/tuplet-ratios';
import { aTuplet } from '../../phrase/tuplet-words';
import type { Ticks, Tuplet } from '../../phrase/types';
import { withEvents, withLength } from '../../phrase/voices';
import { endOf } from '../../phrase/walk';
import { defineCommand } from '../command';
import { changeLengths } from '../lengths';
import { cannot, done, type Outcome } from '../outcome';
import { retuplet } from '../retuplet';
import { sameData } from '../same';
import { chosenEvents, eventAt, penTicks, tupletOver, voiceOf } from '../select';
import type { EditState, Pen } from '../state';
import { goOn } from '../write';

/** In a player's words. */
export const VALUE_NAMES: Readonly<Record<NoteValue, string>> = {
  whole: 'whole note',
  half: 'half note',
  quarter: 'quarter',
  eighth: 'eighth',
  '16th': '16th',
  '32nd': '32nd',
  '64th': '64th',
  '128th': '128th',
};

function withArticle(name: string): string {
  return `${name.startsWith('e') ? 'an' : 'a'} ${name}`;
}

/** A note value for what is chosen and for what is written next. */
export const setValue = defineCommand<NoteValue>({
  id: 'length.value',
  group: 'Length',
  title: 'Make it',
  words: 'duration note value rhythm half quarter eighth sixteenth',
  ask: {
    kind: 'choice',
    choices: NOTE_VALUES.map((value) => ({ value, title: withArticle(VALUE_NAMES[value]) })),
  },
  keys: [
    { key: 'w', value: 'whole' },
    { key: 'H', value: 'half' },
    { key: 'q', value: 'quarter' },
    { key: 'e', value: 'eighth' },
    { key: 's', value: '16th' },
  ],
  apply: (s, value) =>
    withPenValue(s, { value, dots: 0 }, () => ({ value, dots: 0 }), VALUE_NAMES[value]),
});

/** The dot on and off. */
export const dot = defineCommand<undefined>({
  id: 'length.dot',
  group: 'Length',
  title: 'Put a dot behind it or take it off',
  words: 'dotted augmentation',
  ask: { kind: 'nothing' },
  keys: [{ key: '.', value: undefined }],
  apply: (s) => {
    const dots = valueThere(s).dots === 1 ? 0 : 1;
    const { value } = valueThere(s);
    if (dots === 1 && value === '128th') return cannot('a 128th takes no dot');
    return withPenValue(
      s,
      { value, dots },
      (old) => (dots === 1 && old.value === '128th' ? null : { value: old.value, dots }),
      dots === 1 ? `dotted ${VALUE_NAMES[value]}` : VALUE_NAMES[value],
    );
  },
});

/** Half or twice the value. */
export const halve = defineCommand<'shorter' | 'longer'>({
  id: 'length.step',
  group: 'Length',
  title: 'Make it the next',
  words: 'half double duration',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'shorter', title: 'shorter value' },
      { value: 'longer', title: 'longer value' },
    ],
  },
  keys: [
    { key: ',', value: 'shorter' },
    { key: ';', value: 'longer' },
  ],
  apply: (s, way) => {
    const by = way === 'shorter' ? 1 : -1;
    const next = (old: WrittenValue): WrittenValue | null => {
      const value = NOTE_VALUES[NOTE_VALUES.indexOf(old.value) + by];
      if (value === undefined || (value === '128th' && old.dots === 1)) return null;
      return { value, dots: old.dots };
    };
    const pen = next(valueThere(s));
    if (pen === null) return cannot(`there is no ${way} value`);
    return withPenValue(s, pen, next, VALUE_NAMES[pen.value]);
  },
});

/** Tuplets for a chosen block; where none is chosen, for what is written next. */
export const setTuplet = defineCommand<'2' | '3' | '4' | '5' | '6' | '7' | '9' | 'none'>({
  id: 'length.tuplet',
  group: 'Length',
  title: 'Play what is chosen, or write on, in',
  words: 'tuplet triplets quintuplets duplets sextuplets',
  ask: {
    kind: 'choice',
    choices: [
      { value: '2', title: 'duplets, two in the time of three' },
      { value: '3', title: 'triplets' },
      { value: '4', title: 'quadruplets, four in the time of three' },
      { value: '5', title: 'quintuplets, five in the time of four' },
      { value: '6', title: 'sextuplets, six in the time of four' },
      { value: '7', title: 'septuplets, seven in the time of four' },
      { value: '9', title: 'nonuplets, nine in the time of eight' },
      { value: 'none', title: 'plain values' },
    ],
  },
  apply: (s, which) => inTuplets(s, which === 'none' ? null : tupletRatio(Number(which))),
});

/** Tuplets of any ratio, as it is printed. */
export const setRatio = defineCommand<string>({
  id: 'length.ratio',
  group: 'Length',
  title: 'Play what is chosen, or write on, in a tuplet of any ratio',
  words: 'tuplet so many in the time of',
  ask: {
    kind: 'text',
    label: 'So many in the time of so many',
    example: '7:3',
    reads: (text) => {
      const ratio = readRatioText(text);
      return ratio === null ? null : `${ratio.actual} in the time of ${ratio.normal}`;
    },
  },
  apply: (s, text) => {
    const ratio = readRatioText(text);
    return ratio === null
      ? cannot(`'${text.slice(0, 20)}' is no tuplet that can be written: 7:3 is one, 11:8 is none`)
      : inTuplets(s, ratio);
  },
});

function inTuplets(s: EditState, ratio: TupletRatio | null): Outcome {
  if (s.selection.corner !== null) return retuplet(s, ratio);
  const same =
    s.pen.tuplet === null || ratio === null
      ? s.pen.tuplet === ratio
      : sameRatio(s.pen.tuplet, ratio);
  if (same) return cannot('what is written next is so already');
  return penFits({ ...s.pen, tuplet: ratio }) ?? done(withTupletPen(s, ratio));
}

/** Why the value of a pen is none of its tuplet; null where it is one. */
function penFits({ value, dots, tuplet }: Pen): Outcome | null {
  if (tuplet === null || playedIn(tuplet, ticksOfValue({ value, dots })) !== null) return null;
  return tooShort(`${dots === 1 ? 'dotted ' : ''}${VALUE_NAMES[value]}`, tuplet);
}

function tooShort(value: string, t: TupletRatio): Outcome {
  return cannot(`${withArticle(value)} is too short for ${aTuplet(t)}`);
}

/** Triplets on and off with one key, for a chosen block or for what is written next. */
export const toggleTriplets = defineCommand<undefined>({
  id: 'length.triplets',
  group: 'Length',
  title: 'Begin or end triplets',
  words: 'tuplet three',
  ask: { kind: 'nothing' },
  keys: [{ key: 't', value: undefined }],
  apply: (s) => {
    if (s.selection.corner !== null) {
      const v = voiceOf(s);
      const plain = chosenEvents(s).some(({ event }) => tupletOver(v, event.onset) === null);
      return retuplet(s, plain ? TRIPLET : null);
    }
    const next = withTupletPen(s, s.pen.tuplet === null ? TRIPLET : null);
    return done(next, next.pen.tuplet === null ? 'plain values' : 'triplets');
  },
});

/** The note before is held through the value that comes: a tie on the page. */
export const holdOn = defineCommand<undefined>({
  id: 'length.hold',
  group: 'Length',
  title: 'Hold the note through the next value',
  words: 'tie sustain longer',
  ask: { kind: 'nothing' },
  keys: [{ key: 'j', value: undefined }],
  apply: (s) => {
    const v = voiceOf(s);
    const { onset } = s.selection.cursor;
    const here = v.events.findIndex((e) => e.onset === onset);
    const index = here >= 0 ? here : v.events.findIndex((e) => endOf(e) === onset);
    const event = v.events[index];
    if (event === undefined) return cannot('no note ends where the cursor is');
    const goesInto = tupletOver(v, endOf(event));
    const short = penFits({ ...s.pen, tuplet: goesInto });
    if (short !== null) return short;
    const more = penTicks({ ...s.pen, tuplet: goesInto });
    const { phrase, covered } = changeLengths(
      s.phrase,
      s.selection.voice,
      new Map([[index, event.duration + more]]),
      s.pen.flow,
    );
    const at = { ...s, phrase };
    const held = here >= 0 ? at : goOn({ ...at, selection: atOnset(at, event.onset) });
    return done(held, coveredWords('held on', covered));
  },
});

/** What is written takes the place of what is there, or pushes it on. */
export const setFlow = defineCommand<'over' | 'push'>({
  id: 'length.flow',
  group: 'Length',
  title: 'Let what is written',
  words: 'insert overwrite mode ripple',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'over', title: 'take the place of what is there' },
      { value: 'push', title: 'push later notes on' },
    ],
  },
  apply: (s, flow) =>
    s.pen.flow === flow
      ? cannot('what is written does so already')
      : done({ ...s, pen: { ...s.pen, flow } }),
});

const TRIPLET: TupletRatio = { actual: 3, normal: 2 };

function withTupletPen(s: EditState, tuplet: Pen['tuplet']): EditState {
  return { ...s, pen: { ...s.pen, tuplet } };
}

function atOnset(s: EditState, onset: Ticks) {
  return { ...s.selection, cursor: { ...s.selection.cursor, onset } };
}

/** The value a note has as written, in its tuplet; null where it is tied together of several. */
function writtenValue(ticks: Ticks, t: Tuplet | null): WrittenValue | null {
  return valueOfTicks(t === null ? ticks : (ticks * t.actual) / t.normal);
}

/**
 * What a value goes to: the chosen moments, or the one under the cursor. Where the cursor is on no
 * note, a value is only for what is written next, even if writing has just gone on from a note.
 */
function toLengthen(s: EditState) {
  if (s.selection.corner !== null) return chosenEvents(s);
  const here = eventAt(voiceOf(s), s.selection.cursor.onset);
  return here === null ? [] : [here];
}

/** The value in force: the one of the note that a key would change, else the pen's. */
export function valueThere(s: EditState): WrittenValue {
  const first = toLengthen(s)[0]?.event;
  const own =
    first === undefined ? null : writtenValue(first.duration, tupletOver(voiceOf(s), first.onset));
  return own ?? { value: s.pen.value, dots: s.pen.dots };
}

/** The pen with a value, and the chosen notes changed by `next`, each from the value it has. */
function withPenValue(
  s: EditState,
  pen: WrittenValue,
  next: (old: WrittenValue) => WrittenValue | null,
  say: string,
): Outcome {
  const short = penFits({ ...s.pen, ...pen });
  if (short !== null) return short;
  const state = { ...s, pen: { ...s.pen, ...pen } };
  const v = voiceOf(s);
  const lengths = new Map<number, Ticks>();
  const chosen = toLengthen(s);
  for (const { event, index } of chosen) {
    const t = tupletOver(v, event.onset);
    const old = writtenValue(event.duration, t);
    // A note tied together of several values takes the plain value, when one is named.
    const value = next(old ?? pen);
    if (value === null) return cannot('there is no such value for one of the notes');
    const plain = ticksOfValue(value);
    const ticks = playedIn(t, plain);
    if (ticks === null) return tooShort(say, t!);
    if (ticks !== event.duration) lengths.set(index, ticks);
  }
  const sure = chosen.length === 0 ? state : { ...state, phrase: withoutGuess(state, chosen) };
  if (lengths.size === 0) {
    return sameData(sure, s) ? cannot(`it is ${withArticle(say)} already`) : done(sure, say);
  }
  const { phrase, covered } = changeLengths(sure.phrase, s.selection.voice, lengths, s.pen.flow);
  return done({ ...sure, phrase }, coveredWords(say, covered));
}

/** A length that was looked at and kept is guessed no more. */
function withoutGuess(s: EditState, chosen: readonly { readonly index: number }[]) {
  const indexes = new Set(chosen.map((c) => c.index));
  return withEvents(s.phrase, s.selection.voice, (events) =>
    events.map((e, i) => (indexes.has(i) ? withLength(e, e.duration) : e)),
  );
}

function coveredWords(say: string, covered: number): string {
  if (covered === 0) return say;
  return `${say}; ${covered === 1 ? 'a note' : `${covered} notes`} that began in it taken out`;
}

import { layLane, parseLane, storeLane } from '../../move/lane';
import { movePhrase } from '../../move/move';
import { barSpans, beatTicks } from '../../phrase/time';
import type { ChordSymbol, DynamicMark, Feel, Phrase, Tempo, Ticks } from '../../phrase/types';
import { barOver } from '../../phrase/voices';
import { canonicalSymbol, chordOf, chordSign, formatChord, isNoChord } from '../../theory/chord';
import { formatKey, type Key, parseKey } from '../../theory/key';
import { formatRoman, parseChordOrRoman, parseRoman, romanSign } from '../../theory/roman';
import { defineCommand } from '../command';
import { sayLost } from '../lost';
import { cannot, done, type Outcome } from '../outcome';
import { sameData } from '../same';
import type { EditState } from '../state';
import { FASTEST, SLOWEST, TEMPO_UNIT_NAMES } from '../tempo-for';

/** A chord at a moment, as symbol or numeral; what is no chord is told, never stored. */
export interface ChordGiven {
  readonly onset: Ticks;
  /** A symbol, a numeral, `N.C.`; empty takes the chord away. */
  readonly text: string;
}

/** A chord typed at the cursor. */
export const chordHere = defineCommand<string>({
  id: 'chord.here',
  group: 'Chords and key',
  title: 'Write a chord at the cursor',
  words: 'symbol numeral roman harmony lane',
  ask: { kind: 'text', label: 'the chord', example: 'IV7' },
  apply: (s, text) => setChord(s, s.selection.cursor.onset, text),
});

/** A chord typed into the lane. */
export const chordAt = defineCommand<ChordGiven>({
  id: 'chord.at',
  group: 'Chords and key',
  title: 'Write a chord into the lane',
  ask: {
    kind: 'given',
    is: isChordGiven,
    some: (s) => [
      { onset: 0, text: 'I7' },
      { onset: 0, text: '' },
      { onset: 10_080, text: 'Bbmaj7' },
      { onset: s.phrase.length, text: 'C' },
      { onset: 1, text: 'N.C.' },
      { onset: 0, text: 'H13' },
    ],
  },
  apply: (s, { onset, text }) => setChord(s, onset, text),
});

function setChord(s: EditState, onset: Ticks, text: string): Outcome {
  const p = s.phrase;
  const trimmed = text.trim();
  if (!(onset >= 0 && onset < p.length)) return cannot('the lane ends with the phrase');
  const others = p.chords.filter((c) => c.onset !== onset);
  if (trimmed === '') {
    if (others.length === p.chords.length) return cannot('no chord stands there');
    return done({ ...s, phrase: { ...p, chords: others } }, 'chord taken out');
  }
  const symbol = readSymbol(trimmed, p.key);
  if (typeof symbol !== 'object') return cannot(symbol);
  const chords = [...others, { onset, symbol: symbol.symbol }].sort((a, b) => a.onset - b.onset);
  const name = symbol.symbol === null ? 'N.C.' : chordSign(symbol.symbol);
  if (sameData(chords, p.chords)) return cannot(`${name} stands there already`);
  return done({ ...s, phrase: { ...p, chords } }, `${name} from here`);
}

/** The stored form of what was typed, or what is wrong with it. */
function readSymbol(text: string, key: Key): { readonly symbol: ChordSymbol | null } | string {
  if (isNoChord(text)) return { symbol: null };
  const chord = parseChordOrRoman(text, key);
  if (!chord.ok) return chord.problems[0]!.message;
  return { symbol: formatChord(chord.value) };
}

/**
 * A chord as symbol and as numeral, as they are typed and as they are set; a field for either is
 * kept in step with the other by it.
 */
export function chordPair(symbol: ChordSymbol | null, key: Key) {
  if (symbol === null)
    return { symbol: 'N.C.', numeral: 'N.C.', symbolSign: 'N.C.', numeralSign: 'N.C.' };
  const chord = chordOf(symbol);
  return {
    symbol: symbol as string,
    numeral: formatRoman(chord, key),
    symbolSign: chordSign(symbol),
    numeralSign: romanSign(chord, key),
  };
}

/** What is wrong with a chord while it is typed; null for one that can be stored, or nothing yet. */
export function chordProblem(text: string, key: Key, as: 'symbol' | 'numeral'): string | null {
  const trimmed = text.trim();
  if (trimmed === '' || isNoChord(trimmed)) return null;
  const read = as === 'numeral' ? parseRoman(trimmed, key) : canonicalSymbol(trimmed);
  return read.ok ? null : read.problems[0]!.message;
}

/** The whole lane at once. */
export const wholeLane = defineCommand<string>({
  id: 'chord.lane',
  group: 'Chords and key',
  title: 'Write the whole lane of chords',
  words: 'progression harmony changes bars',
  ask: { kind: 'text', label: 'the chords', example: 'I7 | IV7 | I7 V7' },
  apply: (s, text) => {
    const bars = parseLane(text, s.phrase.key);
    if (!bars.ok) return cannot(bars.problems[0]!.message);
    const laid = layLane(s.phrase, bars.value);
    if (!laid.ok) return cannot(laid.problems[0]!.message);
    const chords = storeLane(laid.value);
    if (sameData(chords, s.phrase.chords)) return cannot('the lane has these chords already');
    return done({ ...s, phrase: { ...s.phrase, chords } }, 'chords written');
  },
});

/** The lane as it can be typed again; null where it has changes that bars and beats do not say. */
export function laneText(p: Phrase): string | null {
  const bars = barSpans(p).filter((b) => b.number > 0);
  const name = (c: Phrase['chords'][number]) => c.symbol ?? 'N.C.';
  const text = bars.map((b) => {
    const inside = p.chords.filter((c) => c.onset >= b.start && c.onset < b.end);
    const before = p.chords.filter((c) => c.onset < b.start).at(-1);
    const first = inside[0]?.onset === b.start ? [] : before === undefined ? [] : [before];
    return [...first, ...inside].map(name).join(' ');
  });
  if (text.some((t) => t === '')) return null;
  const lane = text.join(' | ');
  // Without a stroke each chord would be a bar.
  const joined = lane.includes(' ') && !lane.includes('|') ? `${lane} |` : lane;
  const parsed = parseLane(joined, p.key);
  const laid = parsed.ok ? layLane(p, parsed.value) : parsed;
  const same = laid.ok && sameData(storeLane(laid.value), p.chords);
  return same ? joined : null;
}

/** Another key: only its name and signature, the notes stay. */
export const renameKey = defineCommand<string>({
  id: 'key.rename',
  group: 'Chords and key',
  title: 'Say that it is in the key of',
  words: 'signature tonic mode',
  ask: { kind: 'text', label: 'the key', example: 'Bb blues' },
  apply: (s, text) => {
    const key = parseKey(text);
    if (key === null) return cannot(`'${text}' is no key: write C, F#m or Bb blues`);
    if (formatKey(key) === formatKey(s.phrase.key)) return cannot('it is in this key already');
    return done({ ...s, phrase: { ...s.phrase, key } }, `in ${formatKey(key)}`);
  },
});

/** Another key with everything moved into it. */
export const moveToKey = defineCommand<string>({
  id: 'key.move',
  group: 'Chords and key',
  title: 'Move everything to the key of',
  words: 'transpose key',
  ask: { kind: 'text', label: 'the key', example: 'G' },
  apply: (s, text) => {
    const key = parseKey(text);
    if (key === null) return cannot(`'${text}' is no key: write C, F#m or Bb blues`);
    if (sameData(key, s.phrase.key)) return cannot('it is in this key already');
    const sameMode = (key.mode === 'minor') === (s.phrase.key.mode === 'minor');
    const moved = movePhrase(s.phrase, {
      to: { kind: 'key', key },
      ...(sameMode ? {} : { way: 'chord' as const }),
    });
    if (!moved.ok) return cannot(moved.problems[0]!.message);
    return sayLost(s, done({ ...s, phrase: moved.value.phrase }, `moved to ${formatKey(key)}`));
  },
});

/** Beats in a minute, of the unit that is counted. */
export const setTempo = defineCommand<number>({
  id: 'key.tempo',
  group: 'Chords and key',
  title: 'Set the tempo, in beats a minute',
  words: 'bpm speed',
  ask: { kind: 'number', label: 'the tempo', least: SLOWEST, most: FASTEST, step: 1 },
  apply: (s, bpm) =>
    bpm === s.phrase.tempo.bpm
      ? cannot('it is this tempo already')
      : done(
          { ...s, phrase: { ...s.phrase, tempo: { ...s.phrase.tempo, bpm } } },
          `${bpm} a minute`,
        ),
});

const UNITS = (['eighth', 'quarter', 'dotted-quarter', 'half'] as const).map((value) => ({
  value,
  title: TEMPO_UNIT_NAMES[value],
}));

/** What the tempo counts. */
export const setTempoUnit = defineCommand<Tempo['unit']>({
  id: 'key.tempo-unit',
  group: 'Chords and key',
  title: 'Let the tempo count',
  words: 'bpm beat unit',
  ask: { kind: 'choice', choices: UNITS },
  now: (s) => s.phrase.tempo.unit,
  apply: (s, unit) =>
    unit === s.phrase.tempo.unit
      ? cannot('it counts these already')
      : done({ ...s, phrase: { ...s.phrase, tempo: { ...s.phrase.tempo, unit } } }),
});

const FEELS = {
  straight: { kind: 'straight' },
  shuffle: { kind: 'swing', unit: 'eighth', first: 2, second: 1 },
  light: { kind: 'swing', unit: 'eighth', first: 3, second: 2 },
  sixteenths: { kind: 'swing', unit: '16th', first: 2, second: 1 },
} as const satisfies Record<string, Feel>;

const FEEL_NAMES = Object.keys(FEELS) as readonly (keyof typeof FEELS)[];

/** How the written rhythm sounds (T3). */
export const setFeel = defineCommand<keyof typeof FEELS>({
  id: 'key.feel',
  group: 'Chords and key',
  title: 'Let it feel',
  words: 'feel groove',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'straight', title: 'straight', words: 'feel groove even' },
      {
        value: 'shuffle',
        title: 'like a shuffle, 2 to 1',
        words: 'feel groove swing swung triplets',
      },
      { value: 'light', title: 'lightly swung, 3 to 2', words: 'feel groove swing' },
      { value: 'sixteenths', title: 'with swung 16ths, 2 to 1', words: 'feel groove swing funk' },
    ],
  },
  now: (s) => FEEL_NAMES.find((name) => sameData(FEELS[name], s.phrase.feel)),
  apply: (s, which) => {
    const feel: Feel = FEELS[which];
    if (sameData(feel, s.phrase.feel)) return cannot('it feels so already');
    return done({ ...s, phrase: { ...s.phrase, feel } });
  },
});

const DYNAMICS = ['pp', 'p', 'mp', 'mf', 'f', 'ff'] as const;

/** How loud, from the cursor on. */
export const setDynamic = defineCommand<DynamicMark | 'none'>({
  id: 'mark.dynamic',
  group: 'Bars and beats',
  title: 'From here on, play',
  words: 'dynamics loud soft volume',
  ask: {
    kind: 'choice',
    choices: [
      ...DYNAMICS.map((value) => ({ value, title: value })),
      { value: 'none' as const, title: 'as before' },
    ],
  },
  apply: (s, value) => {
    const { onset } = s.selection.cursor;
    const { marks } = s.phrase;
    const others = marks.filter((m) => m.kind !== 'dynamic' || m.onset !== onset);
    if (value === 'none' && others.length === marks.length) return cannot('no dynamic stands here');
    const added = value === 'none' ? [] : [{ kind: 'dynamic' as const, onset, value }];
    const next = [...others, ...added].sort((a, b) => a.onset - b.onset);
    if (sameData(next, marks)) return cannot(`${value} stands there already`);
    return done({ ...s, phrase: { ...s.phrase, marks: next } }, value);
  },
});

/** Words over the cursor; nothing takes them away. */
export const setWords = defineCommand<string>({
  id: 'mark.words',
  group: 'Bars and beats',
  title: 'Write words at the cursor (none: take them out)',
  words: 'text annotation remark',
  ask: { kind: 'text', label: 'the words', example: 'lazily' },
  apply: (s, text) => {
    const { onset } = s.selection.cursor;
    const { marks } = s.phrase;
    const others = marks.filter((m) => m.kind !== 'words' || m.onset !== onset);
    const trimmed = text.trim();
    if (trimmed === '' && others.length === marks.length) return cannot('no words stand here');
    if (trimmed.length > 200) return cannot('words over a note are 200 letters at most');
    const added = trimmed === '' ? [] : [{ kind: 'words' as const, onset, text: trimmed }];
    const next = [...others, ...added].sort((a, b) => a.onset - b.onset);
    if (sameData(next, marks)) return cannot('these words stand there already');
    return done(
      { ...s, phrase: { ...s.phrase, marks: next } },
      trimmed === '' ? 'no words' : trimmed,
    );
  },
});

/** The moments of a bar at which a chord can stand, beat by beat, for whoever shows the lane. */
export function beatsOfBar(p: Phrase, onset: Ticks): readonly Ticks[] {
  const bar = barOver(p, onset);
  const beat = beatTicks(bar.bar.meter);
  const moments: Ticks[] = [];
  for (let t = bar.start; t < bar.end; t += beat) moments.push(t);
  return moments;
}

function isChordGiven(x: unknown): x is ChordGiven {
  if (typeof x !== 'object' || x === null) return false;
  const { onset, text } = x as Record<string, unknown>;
  return Number.isInteger(onset) && typeof text === 'string';
}

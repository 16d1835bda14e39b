import { STANDARD_GUITAR } from '../../core/phrase/instrument';
import { instrumentFrom, readInstrument, TUNINGS } from '../../core/phrase/instruments';
import type { Feel, Instrument, Meter, Phrase, Tempo, Ticks } from '../../core/phrase/types';
import { type Key, parseKey } from '../../core/theory/key';
import { parsePitch } from '../../core/theory/pitch';
import { LIMITS } from '../json/limits';
import { takeFineMeter } from './not-kept';
import type { Scanner } from './scanner';
import { UNIT_WORDS } from './write';

/** Whose the phrase is and when it was made, which the text does not say. */
export interface QuickOrigin {
  readonly id: string;
  /** ISO 8601 in UTC. */
  readonly now: string;
}

/** What the head of a quick text says; everything it leaves out is taken from the defaults. */
export interface Head {
  key: Key;
  meter: Meter;
  tempo: Tempo;
  feel: Feel;
  instrument: Instrument;
  title: string;
  /** Where it must be said: a note is held over the first bar line. */
  pickup: Ticks | null;
  /** Where what was said stands in the text, by its field in the phrase. */
  readonly places: Map<string, number>;
}

/** The phrase from which a text without a head takes key, metre, tempo, feel and instrument. */
export type QuickDefaults = Pick<Phrase, 'key' | 'tempo' | 'feel' | 'instrument'> & {
  readonly meter: Meter;
};

export const PLAIN_DEFAULTS: QuickDefaults = {
  key: { tonic: { letter: 'C', alter: 0 }, mode: 'major' },
  tempo: { bpm: 100, unit: 'quarter' },
  feel: { kind: 'straight' },
  instrument: STANDARD_GUITAR,
  meter: { beats: 4, beatType: 4 },
};

/** Reads `[A blues, 12/8, …]` where the text begins with it. */
export function readHead(scan: Scanner, defaults: QuickDefaults): Head {
  const head: Head = { ...defaults, title: '', pickup: null, places: new Map() };
  scan.skipSpace();
  if (!scan.take(/\[/y)) return head;
  for (;;) {
    scan.skipSpace();
    readItem(scan, head);
    scan.skipSpace();
    if (scan.take(/\]/y)) return head;
    if (!scan.take(/,/y)) {
      scan.report(
        "',' or ']' is expected here",
        "Part the head's words by commas and close it with ].",
      );
      scan.take(/[^\]]*\]?/y);
      return head;
    }
  }
}

/** What a word of the head says. */
interface HeadWord {
  readonly sign: RegExp;
  /** Where the phrase keeps it; empty where it cannot be wrong. */
  readonly place: string;
  readonly read: (m: RegExpExecArray, head: Head, scan: Scanner) => void;
}

/** Tried in this order. */
const WORDS: readonly HeadWord[] = [
  {
    sign: /(\d{1,3})\/(1|2|4|8|16)(?![\d/])/y,
    place: '',
    read: (m, head) => {
      head.meter = { beats: Number(m[1]), beatType: Number(m[2]) as Meter['beatType'] };
    },
  },
  {
    sign: /(\d+(?:\.\d+)?) (eighths|quarters|dotted|halves)\b/y,
    place: 'tempo',
    read: (m, head) => {
      const unit = Object.entries(UNIT_WORDS).find(([, word]) => word === m[2])![0];
      head.tempo = { bpm: Number(m[1]), unit: unit as Tempo['unit'] };
    },
  },
  {
    sign: /swing (\d+):(\d+)( 16ths)?/y,
    place: 'feel',
    read: (m, head, scan) => {
      const unit = m[3] === undefined ? 'eighth' : '16th';
      const [first, second] = [Number(m[1]), Number(m[2])];
      if (Math.min(first, second) >= 1 && Math.max(first, second) <= LIMITS.swing)
        head.feel = { kind: 'swing', unit, first, second };
      else
        scan.report(
          `swing ${first}:${second} is no ratio of two whole numbers from 1 to ${LIMITS.swing}`,
          'Write swing 2:1 for a shuffle, or a milder one such as swing 3:2.',
          scan.at - m[0].length,
        );
    },
  },
  {
    sign: /straight\b/y,
    place: '',
    read: (_, head) => {
      head.feel = { kind: 'straight' };
    },
  },
  onInstrument(/capo (\d+)/y, 'capo', (m) => ({ capo: Number(m[1]) })),
  onInstrument(/(\d+) frets/y, 'frets', (m) => ({ frets: Number(m[1]) })),
  onInstrument(/(\d+(?:\.\d+)?) mm/y, 'scaleLength', (m) => ({ scaleLength: Number(m[1]) })),
  onInstrument(/clef (treble-8|treble|bass-8)/y, '', (m) => ({
    clef: m[1] as Instrument['clef'],
  })),
  {
    sign: /pickup '(\d+)/y,
    place: 'pickup',
    read: (m, head) => {
      head.pickup = Number(m[1]);
    },
  },
  {
    sign: /on (?=")/y,
    place: 'instrument/name',
    read: (_, head, scan) => {
      head.instrument = { ...head.instrument, name: scan.takeQuoted() ?? head.instrument.name };
    },
  },
  {
    sign: /tuning /y,
    place: 'instrument/tuning',
    read: (_, head, scan) => readTuning(scan, head),
  },
];

function onInstrument(
  sign: RegExp,
  field: string,
  part: (m: RegExpExecArray) => Partial<Instrument>,
): HeadWord {
  return {
    sign,
    place: field === '' ? '' : `instrument/${field}`,
    read: (m, head) => {
      head.instrument = { ...head.instrument, ...part(m) };
    },
  };
}

function readItem(scan: Scanner, head: Head): void {
  const start = scan.at;
  const title = scan.takeQuoted();
  if (title !== null) {
    head.title = title;
    head.places.set('meta/title', start);
    return;
  }
  for (const { sign, place, read } of WORDS) {
    const m = scan.take(sign);
    if (m === null) continue;
    if (place !== '') head.places.set(place, start);
    read(m, head, scan);
    return;
  }
  readKeyName(scan, head, start);
}

/** What is none of the words is a key, or says nothing. */
function readKeyName(scan: Scanner, head: Head, start: number): void {
  if (takeFineMeter(scan)) return;
  const text = scan.take(/[^,\]]+/y)?.[0] ?? '';
  const key = parseKey(text.trim());
  if (key !== null) {
    head.key = key;
    head.places.set('key', start);
  } else if (!takeInstrument(text, head, start)) {
    scan.report(
      text.trim() === '' ? 'a word of the head is missing' : `'${text.trim()}' says nothing here`,
      'Write a key, a metre, a tempo such as 96 quarters, swing 2:1, drop D or another tuning, ukulele or another instrument, capo 2, or a title in quotes.',
      start,
    );
  }
}

/** `drop D`, `open G`, `D A D G B E`. */
function readTuningName(scan: Scanner, head: Head): void {
  const start = scan.at;
  const name = scan.take(/[^,\]]*/y)?.[0] ?? '';
  if (takeInstrument(name, head, start)) return;
  scan.report(
    name.trim() === ''
      ? 'the open strings are expected here'
      : `'${name.trim()}' is no tuning that is known here`,
    `Write them first string first: E4 B3 G3 D3 A2 E2, or a tuning by name: ${Object.values(TUNINGS)
      .map((t) => t.title)
      .join(', ')}.`,
    start,
  );
}

/** Takes an instrument or tuning by the name it has everywhere else. @returns whether there is one. */
function takeInstrument(text: string, head: Head, start: number): boolean {
  if (text.trim() === '') return false;
  const wish = readInstrument(text);
  if (!wish.ok) return false;
  // A capo may have been named before it.
  const capo = wish.value.capo || head.instrument.capo;
  head.instrument = instrumentFrom(head.instrument, { ...wish.value, capo });
  head.places.set('instrument/tuning', start);
  return true;
}

function readTuning(scan: Scanner, head: Head): void {
  const tuning = [];
  for (
    let m = scan.take(/[A-Ga-g][#b♯♭]{0,2}-?\d\s*/y);
    m !== null;
    m = scan.take(/[A-Ga-g][#b♯♭]{0,2}-?\d\s*/y)
  ) {
    const pitch = parsePitch(m[0].trim());
    if (pitch.ok) tuning.push(pitch.value);
  }
  if (tuning.length === 0) readTuningName(scan, head);
  else head.instrument = { ...head.instrument, tuning };
}

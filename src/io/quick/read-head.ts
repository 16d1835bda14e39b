import { STANDARD_GUITAR } from '../../core/phrase/instrument';
import type { Feel, Instrument, Meter, Phrase, Tempo, Ticks } from '../../core/phrase/types';
import { type Key, parseKey } from '../../core/theory/key';
import { parsePitch } from '../../core/theory/pitch';
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

function readItem(scan: Scanner, head: Head): void {
  const start = scan.at;
  const title = scan.takeQuoted();
  if (title !== null) {
    head.title = title;
    head.places.set('meta/title', start);
    return;
  }
  let m = scan.take(/(\d{1,3})\/(1|2|4|8|16)(?![\d/])/y);
  if (m !== null) {
    head.meter = { beats: Number(m[1]), beatType: Number(m[2]) as Meter['beatType'] };
    return;
  }
  m = scan.take(/(\d+(?:\.\d+)?) (eighths|quarters|dotted|halves)\b/y);
  if (m !== null) {
    const unit = Object.entries(UNIT_WORDS).find(([, word]) => word === m![2])![0];
    head.tempo = { bpm: Number(m[1]), unit: unit as Tempo['unit'] };
    head.places.set('tempo', start);
    return;
  }
  m = scan.take(/swing (\d+):(\d+)( 16ths)?/y);
  if (m !== null) {
    head.feel = {
      kind: 'swing',
      unit: m[3] === undefined ? 'eighth' : '16th',
      first: Number(m[1]),
      second: Number(m[2]),
    };
    head.places.set('feel', start);
    return;
  }
  if (scan.take(/straight\b/y)) {
    head.feel = { kind: 'straight' };
    return;
  }
  m = scan.take(/capo (\d+)/y);
  if (m !== null) {
    head.instrument = { ...head.instrument, capo: Number(m[1]) };
    head.places.set('instrument/capo', start);
    return;
  }
  m = scan.take(/(\d+) frets/y);
  if (m !== null) {
    head.instrument = { ...head.instrument, frets: Number(m[1]) };
    head.places.set('instrument/frets', start);
    return;
  }
  m = scan.take(/(\d+(?:\.\d+)?) mm/y);
  if (m !== null) {
    head.instrument = { ...head.instrument, scaleLength: Number(m[1]) };
    head.places.set('instrument/scaleLength', start);
    return;
  }
  m = scan.take(/clef (treble-8|treble|bass-8)/y);
  if (m !== null) {
    head.instrument = { ...head.instrument, clef: m[1] as Instrument['clef'] };
    return;
  }
  m = scan.take(/pickup '(\d+)/y);
  if (m !== null) {
    head.pickup = Number(m[1]);
    head.places.set('pickup', start);
    return;
  }
  if (scan.take(/on (?=")/y)) {
    head.instrument = { ...head.instrument, name: scan.takeQuoted() ?? head.instrument.name };
    head.places.set('instrument/name', start);
    return;
  }
  if (scan.take(/tuning /y)) {
    head.places.set('instrument/tuning', start);
    readTuning(scan, head);
    return;
  }
  const at = scan.at;
  const text = scan.take(/[^,\]]+/y)?.[0] ?? '';
  const key = parseKey(text.trim());
  if (key !== null) {
    head.key = key;
    head.places.set('key', start);
  } else {
    scan.report(
      text.trim() === '' ? 'a word of the head is missing' : `'${text.trim()}' says nothing here`,
      'Write a key, a metre, a tempo such as 96 quarters, swing 2:1, tuning, capo 2 or a title in quotes.',
      at,
    );
  }
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
  if (tuning.length === 0) {
    scan.report(
      'the open strings are expected here',
      'Write them first string first: E4 B3 G3 D3 A2 E2.',
    );
  } else head.instrument = { ...head.instrument, tuning };
}

import type { PhraseEvent, PitchedNote, Ticks } from '../../../core/phrase/types';
import { attribute, readNumber, type XmlElement } from '../xml/parse';
import type { ImportLog } from './log';

/** One `<bend>` without a bar: how far, in what way, and when in percent of the note. */
export interface BendMark {
  /** Semitones, the sign as written. */
  readonly alter: number;
  readonly kind: 'bend' | 'pre-bend' | 'release';
  readonly firstBeat: number | null;
  readonly lastBeat: number | null;
}

export interface HarmonicMark {
  readonly kind: 'natural' | 'artificial' | 'pinch';
  /** Which pitch the note is written at; null where the file does not say. */
  readonly written: 'base' | 'touching' | 'sounding' | null;
}

/** One end of something between notes; `key` tells open ones apart. */
export interface SpanEnd {
  readonly kind: 'hammer-on' | 'pull-off' | 'slide' | 'glissando' | 'slur' | 'wavy-line';
  readonly type: 'start' | 'stop';
  readonly key: string;
  readonly wide: boolean;
}

/** What the elements of one written note say, apart from pitch and time. */
export interface NoteMarks {
  readonly string: number | null;
  readonly fret: number | null;
  readonly finger: PitchedNote['finger'] | null;
  readonly pluck: PitchedNote['pluck'] | null;
  readonly spans: readonly SpanEnd[];
  readonly tap: boolean;
  readonly harmonic: HarmonicMark | null;
  readonly bends: readonly BendMark[];
  readonly barDip: number | null;
  /** Semitones of the trill's step where the file says; null for the key's own upper note. */
  readonly trill: { readonly semitones: 1 | 2 | null } | null;
  readonly slideIn: 'below' | 'above' | null;
  readonly slideOut: 'up' | 'down' | null;
  readonly ghost: boolean;
  readonly dead: boolean;
  /** The pick is scraped along the string; no pitch is meant. */
  readonly scrape: 'down' | 'up' | null;
  readonly letRing: boolean;
  readonly palmMute: boolean;
  readonly staccato: boolean;
  readonly accent: boolean;
  readonly tenuto: boolean;
  readonly tremolo: PhraseEvent['tremolo'] | null;
  readonly stroke: 'down' | 'up' | null;
  readonly strum: 'down' | 'up' | null;
  /** A raked grace: struck muted on the way to its note. */
  readonly rake: boolean;
  readonly dynamics: readonly XmlElement[];
  readonly xmlIds: readonly string[];
}

/** The marks of one element in the making. */
export type Draft = { -readonly [K in keyof NoteMarks]: NoteMarks[K] } & {
  spans: SpanEnd[];
  bends: BendMark[];
};

/** What the readers of a note's elements share. */
export interface Context {
  readonly draft: Draft;
  /** Which of the note's elements is read; numbers of spans on two staves have nothing in common. */
  readonly lane: number;
  readonly found: { readonly onset: Ticks; readonly line: number };
  readonly log: ImportLog;
}

/** Notes in the report that something of the file is not kept. */
export function drop(c: Context, what: string): void {
  c.log.add('dropped', `${what}: not kept`, c.found);
}

/** Notes in the report that something is kept in another form. */
export function approximate(c: Context, message: string): void {
  c.log.add('approximated', message, c.found);
}

/** Notes where a line over several notes begins or ends, for pairing later. */
export function addSpan(kind: SpanEnd['kind'], x: XmlElement, c: Context): void {
  const type = attribute(x, 'type');
  if (type !== 'start' && type !== 'stop') return;
  // The format has numbers 1 to 16 (number-level); a few keys keep the work linear.
  const number = readNumber(attribute(x, 'number')) ?? 1;
  const key = `${c.lane}:${kind}:${number >= 1 && number <= 16 ? Math.round(number) : 1}`;
  const wide = /wide/iu.test(attribute(x, 'smufl') ?? '');
  c.draft.spans.push({ kind, type, key, wide });
}

/** An element's name as plain words: 'snap-pizzicato' is read 'snap pizzicato'. */
export function words(name: string): string {
  return name.replaceAll('-', ' ');
}

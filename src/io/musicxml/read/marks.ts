import type { PhraseEvent, PitchedNote, Ticks } from '../../../core/phrase/types';
import {
  attribute,
  child,
  childNumber,
  childrenOf,
  ownText,
  readNumber,
  type XmlElement,
} from '../xml/parse';
import type { ImportLog } from './log';
import type { RawNote } from './raw';
import { isCrossed, xmlIdOf } from './staves';

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

type Draft = { -readonly [K in keyof NoteMarks]: NoteMarks[K] } & {
  spans: SpanEnd[];
  bends: BendMark[];
};

/** Reads all elements of a note; of bends and the like the first element that has any counts. */
export function readMarks(note: RawNote, onset: Ticks, log: ImportLog): NoteMarks {
  const read = note.elements.map((e, lane) => readElement(e, lane, onset, log));
  return read.reduce(mergeMarks);
}

/** How what two elements of one note say is put together. */
type Merge<T> = (a: T, b: T) => T;

const first = <T>(a: T | null, b: T | null): T | null => a ?? b;
/** Where both staves say it, the tablature's word counts, which comes last. */
const last = <T>(a: T | null, b: T | null): T | null => b ?? a;
const either: Merge<boolean> = (a, b) => a || b;
const all = <T>(a: readonly T[], b: readonly T[]): readonly T[] => [...a, ...b];
const firstSome = <T>(a: readonly T[], b: readonly T[]): readonly T[] => (a.length > 0 ? a : b);

/** Every mark: what a note without it has, and how two elements of one note are put together. */
const MARKS: { readonly [K in keyof NoteMarks]: readonly [NoteMarks[K], Merge<NoteMarks[K]>] } = {
  string: [null, last],
  fret: [null, last],
  finger: [null, first],
  pluck: [null, first],
  spans: [[], all],
  tap: [false, either],
  harmonic: [null, first],
  bends: [[], firstSome],
  barDip: [null, first],
  trill: [null, first],
  slideIn: [null, first],
  slideOut: [null, first],
  ghost: [false, either],
  dead: [false, either],
  scrape: [null, first],
  letRing: [false, either],
  palmMute: [false, either],
  staccato: [false, either],
  accent: [false, either],
  tenuto: [false, either],
  tremolo: [null, first],
  stroke: [null, first],
  strum: [null, first],
  rake: [false, either],
  dynamics: [[], firstSome],
  xmlIds: [[], all],
};

const KEYS = Object.keys(MARKS) as readonly (keyof NoteMarks)[];

function mergeMarks(a: NoteMarks, b: NoteMarks): NoteMarks {
  const merged = { ...a };
  const set = <K extends keyof NoteMarks>(k: K) => {
    (merged as { -readonly [M in K]: NoteMarks[M] })[k] = MARKS[k][1](a[k], b[k]);
  };
  KEYS.forEach(set);
  return merged;
}

/** The marks of a note of which nothing was read yet. */
function noMarks(): NoteMarks {
  return Object.fromEntries(KEYS.map((k) => [k, MARKS[k][0]])) as unknown as NoteMarks;
}

function readElement(e: XmlElement, lane: number, onset: Ticks, log: ImportLog): NoteMarks {
  const id = xmlIdOf(e);
  const draft: Draft = {
    ...noMarks(),
    spans: [],
    bends: [],
    ghost: childrenOf(e, 'notehead').some((h) => attribute(h, 'parentheses') === 'yes'),
    dead: isCrossed(e) || child(e, 'unpitched') !== undefined,
    xmlIds: id === null ? [] : [id],
  };
  const context: Context = { draft, lane, found: { onset, line: e.line }, log };
  for (const play of childrenOf(e, 'play')) readPlay(play, context);
  // Our own export writes degrees as lyrics; they are derived, so nothing is lost.
  if (childrenOf(e, 'lyric').some((l) => attribute(l, 'name') !== 'degree')) {
    drop(context, 'lyrics');
  }
  for (const n of childrenOf(e, 'notations')) {
    for (const x of n.children) readNotation(x, context);
  }
  return draft;
}

interface Context {
  readonly draft: Draft;
  /** Which of the note's elements is read; numbers of spans on two staves have nothing in common. */
  readonly lane: number;
  readonly found: { readonly onset: Ticks; readonly line: number };
  readonly log: ImportLog;
}

function drop(c: Context, what: string): void {
  c.log.add('dropped', `${what}: not kept`, c.found);
}

function approximate(c: Context, message: string): void {
  c.log.add('approximated', message, c.found);
}

function readPlay(play: XmlElement, c: Context): void {
  for (const p of play.children) {
    if (p.name === 'mute' && ownText(p) === 'palm') c.draft.palmMute = true;
    else if (p.name === 'mute' && ownText(p) === 'off') continue;
    else drop(c, 'playback hints');
  }
}

function readNotation(x: XmlElement, c: Context): void {
  switch (x.name) {
    case 'technical':
      for (const t of x.children) readTechnical(t, c);
      break;
    case 'articulations':
      for (const a of x.children) readArticulation(a, c);
      break;
    case 'ornaments':
      readOrnaments(x, c);
      break;
    case 'slur':
    case 'slide':
    case 'glissando':
      addSpan(x.name, x, c);
      break;
    case 'tied':
      if (attribute(x, 'type') === 'let-ring') c.draft.letRing = true;
      break;
    case 'arpeggiate': {
      // Low to high is a down-strum; an arpeggio without an arrow runs upwards too.
      c.draft.strum = attribute(x, 'direction') === 'down' ? 'up' : 'down';
      break;
    }
    case 'dynamics':
      c.draft.dynamics = [...c.draft.dynamics, x];
      break;
    case 'tuplet':
    case 'accidental-mark':
      break;
    default:
      drop(c, words(x.name));
  }
}

function addSpan(kind: SpanEnd['kind'], x: XmlElement, c: Context): void {
  const type = attribute(x, 'type');
  if (type !== 'start' && type !== 'stop') return;
  // The format has numbers 1 to 16 (number-level); a few keys keep the work linear.
  const number = readNumber(attribute(x, 'number')) ?? 1;
  const key = `${c.lane}:${kind}:${number >= 1 && number <= 16 ? Math.round(number) : 1}`;
  const wide = /wide/iu.test(attribute(x, 'smufl') ?? '');
  c.draft.spans.push({ kind, type, key, wide });
}

/** An element's name as plain words: 'snap-pizzicato' is read 'snap pizzicato'. */
function words(name: string): string {
  return name.replaceAll('-', ' ');
}

const FINGERS = [1, 2, 3, 4, 'T'] as const;
const PLUCKS = ['p', 'i', 'm', 'a', 'c'] as const;

function readTechnical(t: XmlElement, c: Context): void {
  const d = c.draft;
  switch (t.name) {
    case 'string':
      d.string = readNumber(ownText(t));
      break;
    case 'fret':
      d.fret = readNumber(ownText(t));
      break;
    case 'fingering': {
      if (d.finger !== null) {
        drop(c, 'a second finger for one note');
        break;
      }
      const text = ownText(t) ?? '';
      d.finger = FINGERS.find((f) => String(f) === text.toUpperCase()) ?? null;
      if (d.finger === null) drop(c, 'fingers other than 1 to 4 and T');
      break;
    }
    case 'pluck': {
      const text = (ownText(t) ?? '').toLowerCase();
      d.pluck = PLUCKS.find((f) => f === text) ?? null;
      if (d.pluck === null) drop(c, 'plucking fingers other than p, i, m, a and c');
      break;
    }
    case 'hammer-on':
    case 'pull-off':
      addSpan(t.name, t, c);
      break;
    case 'tap':
      d.tap = true;
      break;
    case 'bend':
      readBend(t, c);
      break;
    case 'harmonic':
      readHarmonic(t, c);
      break;
    case 'down-bow':
      d.stroke = 'down';
      break;
    case 'up-bow':
      d.stroke = 'up';
      break;
    case 'open-string':
      d.fret ??= 0;
      break;
    case 'other-technical':
      readOther(t, c);
      break;
    default:
      drop(c, words(t.name));
  }
}

function readOther(t: XmlElement, c: Context): void {
  const text = ownText(t) ?? '';
  if (/pinch/iu.test(text)) {
    c.draft.harmonic = { kind: 'pinch', written: c.draft.harmonic?.written ?? null };
  } else if (/pick.?(scrape|slide)/iu.test(text)) {
    // Without a word for the direction it goes towards the nut, as is usual (common practice).
    c.draft.scrape = /\bup\b/iu.test(text) ? 'up' : 'down';
  } else if (/rake/iu.test(text)) c.draft.rake = true;
  else if (/palm.?mute/iu.test(text)) c.draft.palmMute = true;
  else drop(c, `the technique '${text.slice(0, 40)}'`);
}

/** W3C: the child element decides what the bend is, then the sign of its number. */
function readBend(t: XmlElement, c: Context): void {
  const alter = childNumber(t, 'bend-alter');
  if (alter === null) {
    drop(c, 'a bend without a width');
    return;
  }
  if (child(t, 'with-bar') !== undefined) {
    if (alter < 0) c.draft.barDip = -alter;
    else drop(c, 'pulling the vibrato bar up');
    return;
  }
  const kind =
    child(t, 'pre-bend') !== undefined
      ? 'pre-bend'
      : child(t, 'release') !== undefined || alter < 0
        ? 'release'
        : 'bend';
  c.draft.bends.push({
    alter,
    kind,
    firstBeat: readNumber(attribute(t, 'first-beat')),
    lastBeat: readNumber(attribute(t, 'last-beat')),
  });
}

function readHarmonic(t: XmlElement, c: Context): void {
  const artificial = child(t, 'artificial') !== undefined;
  const written = (['base', 'touching', 'sounding'] as const).find(
    (w) => child(t, `${w}-pitch`) !== undefined,
  );
  const pinch = c.draft.harmonic?.kind === 'pinch';
  c.draft.harmonic = {
    kind: pinch ? 'pinch' : artificial ? 'artificial' : 'natural',
    written: written ?? null,
  };
}

function readArticulation(a: XmlElement, c: Context): void {
  const d = c.draft;
  switch (a.name) {
    case 'staccato':
      d.staccato = true;
      break;
    case 'accent':
      d.accent = true;
      break;
    case 'tenuto':
      d.tenuto = true;
      break;
    case 'strong-accent':
      d.accent = true;
      approximate(c, 'a strong accent is kept as an accent');
      break;
    case 'staccatissimo':
    case 'spiccato':
      d.staccato = true;
      approximate(c, `${a.name} is kept as staccato`);
      break;
    case 'detached-legato':
      d.staccato = true;
      d.tenuto = true;
      break;
    case 'scoop':
      d.slideIn = 'below';
      break;
    case 'plop':
      d.slideIn = 'above';
      break;
    case 'doit':
      d.slideOut = 'up';
      break;
    case 'falloff':
      d.slideOut = 'down';
      break;
    default:
      drop(c, words(a.name));
  }
}

function readOrnaments(x: XmlElement, c: Context): void {
  for (const o of x.children) {
    switch (o.name) {
      case 'trill-mark': {
        const step = attribute(o, 'trill-step');
        c.draft.trill = { semitones: step === 'half' ? 1 : step === 'whole' ? 2 : null };
        break;
      }
      case 'wavy-line':
        addSpan('wavy-line', o, c);
        break;
      case 'tremolo':
        readTremolo(o, c);
        break;
      case 'accidental-mark':
        break;
      default:
        drop(c, words(o.name));
    }
  }
}

function readTremolo(o: XmlElement, c: Context): void {
  const type = attribute(o, 'type') ?? 'single';
  const strokes = readNumber(ownText(o)) ?? 3;
  if (type !== 'single') {
    drop(c, 'a tremolo between notes');
  } else if (strokes === 1 || strokes === 2 || strokes === 3) c.draft.tremolo = strokes;
  else if (strokes > 3) {
    c.draft.tremolo = 3;
    approximate(c, 'a tremolo of more than three strokes is kept as three');
  } else drop(c, 'an unmeasured tremolo');
}

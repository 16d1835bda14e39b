import type { Ticks } from '../../../core/phrase/types';
import { attribute, child, childrenOf, ownText, type XmlElement } from '../xml/parse';
import type { ImportLog } from './log';
import { addSpan, type Context, type Draft, drop, type NoteMarks, words } from './mark-types';
import { readArticulation, readOrnaments } from './ornaments';
import type { RawNote } from './raw';
import { isCrossed, xmlIdOf } from './staves';
import { readTechnical } from './technical';

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
  if (childrenOf(e, 'notehead').some((h) => h.text.trim() === 'slash')) {
    log.add('assumed', 'notes with a slash for a head sound the pitch that they lie on', {
      onset,
      line: e.line,
    });
  }
  for (const n of childrenOf(e, 'notations')) {
    for (const x of n.children) readNotation(x, context);
  }
  return draft;
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

import { openMidi, playableFrets } from '../phrase/instrument';
import type { Instrument, NoteId, Phrase, Place, Ticks } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { type Degree, degreeSemitones, degreeSign } from '../theory/degree';
import { chromaOf, mod, type PitchClass } from '../theory/pitch';
import type { Analysis } from '../understand/analyse';
import type { NoteReading, PitchReading } from '../understand/reading';
import { isOutside } from './hand-bars';

/** What a note at a place is. */
export interface NeckLabel {
  /** Typeset: `♭7`, of a bend `♭7→R`; `×` for a dead note. */
  readonly text: string;
  /** The degree heard, which decides shape and colour; null without one. */
  readonly degree: Degree | null;
}

/** A place of the neck at which something is played. */
export interface NeckMark extends Place {
  /** Each thing a note there is, once, in the order played. */
  readonly labels: readonly NeckLabel[];
  /** Which moments of the phrase it is struck at, counted from 1; empty where nothing is played in order. */
  readonly order: readonly number[];
  /** The notes there, in the order played. */
  readonly ids: readonly NoteId[];
}

/** What a neck shows: places, and for a phrase the way from one to the next. */
export interface OnNeck {
  /** By string, then fret. */
  readonly marks: readonly NeckMark[];
  /** The places struck at each moment, the highest string first; empty where there is no order. */
  readonly moments: readonly (readonly Place[])[];
}

/** What degrees count from. */
export type CountsFrom = 'chord' | 'key';

/**
 * A phrase on the neck: every place it uses with what the notes there are, and in which order they
 * come. Notes struck together are one moment. Graces are not counted: they lead into a note.
 * @param within Only moments that begin there, the end not included; all when absent.
 */
export function phraseOnNeck(
  p: Phrase,
  analysis: Analysis,
  from: CountsFrom,
  within?: readonly [Ticks, Ticks],
): OnNeck {
  const marks = new Map<string, { -readonly [K in keyof NeckMark]: NeckMark[K] }>();
  const moments: Place[][] = [];
  let onset = -1;
  for (const at of notesOf(p)) {
    if (isOutside(at.onset, within)) continue;
    if (at.onset !== onset) moments.push([]);
    onset = at.onset;
    const { string, fret, id } = at.note;
    moments.at(-1)!.push({ string, fret });
    const key = keyOf(at.note);
    const old = marks.get(key) ?? { string, fret, labels: [], order: [], ids: [] };
    const label = labelOf(analysis.byId.get(id) ?? null, from);
    if (!old.labels.some((l) => l.text === label.text)) old.labels = [...old.labels, label];
    if (old.order.at(-1) !== moments.length) old.order = [...old.order, moments.length];
    old.ids = [...old.ids, id];
    marks.set(key, old);
  }
  for (const m of moments) m.sort((a, b) => a.string - b.string);
  return { marks: [...marks.values()].sort(byPlace), moments };
}

function labelOf(r: NoteReading | null, from: CountsFrom): NeckLabel {
  if (r === null) return { text: '×', degree: null };
  const start = degreeIn(r.start, from);
  const heard = degreeIn(r.heard, from);
  if (heard === null || start === null) return { text: '·', degree: null };
  const text = r.heard === r.start ? '' : `${degreeSign(start)}→`;
  return { text: text + degreeSign(heard), degree: heard };
}

/** Against the key where there is no chord, since a place without a name says nothing. */
function degreeIn(r: PitchReading, from: CountsFrom): Degree | null {
  return from === 'key' ? r.keyDegree : (r.chordDegree ?? r.keyDegree);
}

/**
 * Every place at which one of some degrees over a root sounds: a chord's tones, a scale, or a
 * choice of one's own. Of two names for one sound the first counts.
 * @param frets Lowest and highest fret, both included, counted from the capo.
 */
export function degreesOnNeck(
  i: Instrument,
  root: PitchClass,
  degrees: readonly Degree[],
  frets: readonly [number, number],
): OnNeck {
  const named = new Map<number, Degree>();
  for (const d of degrees) {
    const chroma = mod(chromaOf(root) + degreeSemitones(d), 12);
    if (!named.has(chroma)) named.set(chroma, d);
  }
  const marks: NeckMark[] = [];
  const last = Math.min(frets[1], playableFrets(i));
  i.tuning.forEach((_, k) => {
    for (let fret = Math.max(0, frets[0]); fret <= last; fret++) {
      const degree = named.get(mod(openMidi(i, k + 1) + fret, 12));
      if (degree === undefined) continue;
      const labels = [{ text: degreeSign(degree), degree }];
      marks.push({ string: k + 1, fret, labels, order: [], ids: [] });
    }
  });
  return { marks, moments: [] };
}

/** Name of a place, for maps. */
export function keyOf({ string, fret }: Place): string {
  return `${string}/${fret}`;
}

function byPlace(a: Place, b: Place): number {
  return a.string - b.string || a.fret - b.fret;
}

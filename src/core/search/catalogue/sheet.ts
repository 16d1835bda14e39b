import { factsOf, type PhraseFacts } from '../../library/facts';
import { foldText } from '../../library/fold';
import { type Phrase, ROLES } from '../../phrase/types';
import type { Degree } from '../../theory/degree';
import { linesOf } from '../define/line';
import { hasTechnique, TECHNIQUE_NAMES } from '../query/technique-names';
import type { TextField } from '../query/types';

/** Changes whenever a sheet holds something else than before, so that an older index is built anew. */
export const SHEET_VERSION = 1;

/**
 * What the index keeps of a phrase: all that a query may ask of it and nothing more. Plain data, to
 * be made in a worker and handed on.
 */
export interface Sheet {
  readonly facts: Omit<PhraseFacts, 'degrees'>;
  /** What is said of it, folded; none where it is not said. */
  readonly said: Readonly<Record<TextField, readonly string[]>>;
  readonly bpm: number;
  readonly feel: 'straight' | 'swung' | 'shuffle';
  /** Each metre once: `4/4`. */
  readonly meters: readonly string[];
  /** The lane as indexes into the chords of `facts`; −1 for N.C. */
  readonly changes: readonly number[];
  /** So many numbers a note, see `NOTE`; voice by voice in order. */
  readonly notes: Uint32Array;
}

/** Places of the fields of a note in `Sheet.notes`. */
export const NOTE = {
  voice: 0,
  /** Counted in its voice. */
  event: 1,
  /** What is heard; 0 for a dead note. */
  midi: 2,
  /** Degrees against the chord, as `degreeCode` gives them: start and target. */
  start: 3,
  heard: 4,
  keyStart: 5,
  keyHeard: 6,
  /** Index into the chords of `facts`, + 1; 0 for none. */
  owner: 7,
  /** Index into `ROLES`, + 1; 0 for none. */
  role: 8,
  string: 9,
  fret: 10,
  /** Bits in the order of `TECHNIQUE_NAMES`. */
  techniques: 11,
  duration: 12,
  /** Silence since the event before in its voice. */
  rest: 13,
  onset: 14,
} as const;

export const NOTE_FIELDS = Object.keys(NOTE).length;

/** Stands for the degree of a note that has none. */
export const NO_DEGREE = 35;

/** A number from 0 to 34 for a degree. */
export function degreeCode(d: Degree): number {
  return (d.number - 1) * 5 + d.alter + 2;
}

/** All that the search needs of a phrase, read once: its facts, words folded, notes as numbers. */
export function sheetOf(p: Phrase): Sheet {
  const { degrees: _, ...facts } = factsOf(p);
  const { feel } = p;
  const shuffle = feel.kind === 'swing' && feel.first === 2 && feel.second === 1;
  return {
    facts,
    said: {
      title: [foldText(p.meta.title)],
      tag: p.meta.tags.map(foldText),
      style: folded(p.meta.styleOf),
      source: folded(p.meta.source),
      remarks: folded(p.meta.notes),
    },
    bpm: p.tempo.bpm,
    feel: feel.kind === 'straight' ? 'straight' : shuffle ? 'shuffle' : 'swung',
    meters: [...new Set(p.bars.map((b) => `${b.meter.beats}/${b.meter.beatType}`))],
    changes: p.chords.map((c) => (c.symbol === null ? -1 : facts.chords.indexOf(c.symbol))),
    notes: notesIn(p, facts.chords),
  };
}

function folded(text: string | undefined): readonly string[] {
  return text === undefined ? [] : [foldText(text)];
}

function notesIn(p: Phrase, chords: PhraseFacts['chords']): Uint32Array {
  const rows: number[] = [];
  const places = new Map(chords.map((c, i) => [c, i + 1]));
  for (const [voice, line] of linesOf(p).entries()) {
    for (const [event, e] of line.entries()) {
      for (const n of e.notes) {
        let techniques = 0;
        for (const [i, name] of TECHNIQUE_NAMES.entries()) {
          if (hasTechnique(name, n.note, e.event)) techniques |= 1 << i;
        }
        const code = (d: Degree | undefined) => (d === undefined ? NO_DEGREE : degreeCode(d));
        rows.push(
          voice,
          event,
          n.midi ?? 0,
          code(n.degrees[0]),
          code(n.degrees[1]),
          code(n.keyDegrees[0]),
          code(n.keyDegrees[1]),
          n.owner === null ? 0 : (places.get(n.owner) ?? 0),
          n.role === null ? 0 : ROLES.indexOf(n.role) + 1,
          n.note.string,
          n.note.fret,
          techniques,
          e.event.duration,
          e.rest,
          e.event.onset,
        );
      }
    }
  }
  return Uint32Array.from(rows);
}

import { FRAME, fingersNeeded, reachNeeded, type Stop } from '../neck/hand';
import { DEFAULT_LIMITS, type Limits } from '../neck/limits';
import { openMidi, playableFrets } from '../phrase/instrument';
import type { Instrument } from '../phrase/types';
import type { Chord } from '../theory/chord';
import { type Degree, degreeSemitones, ROOT, sameDegree } from '../theory/degree';
import { chromaOf, mod } from '../theory/pitch';
import { shapeName } from './name';
import { neighboursOf } from './neighbours';
import { type ToneSet, toneSets } from './tone-sets';
import { type ChordShape, SHAPE_KINDS, type ShapeKind, type ShapeTone } from './types';

export interface ShapeOptions {
  /** All kinds when absent. */
  readonly kinds?: readonly ShapeKind[];
  /** Only shapes on exactly these strings. */
  readonly strings?: readonly number[];
  /** Only shapes in the area of an index finger there: frets p − 1 to p + 4 (M12). */
  readonly near?: number;
  readonly limits?: Limits;
}

/** Open strings are part of a shape while the hand is at the nut or capo: up to this fret (*common practice*). */
export const NUT_FRETS = 4;

const STRINGS: Readonly<Record<ShapeKind, number>> = {
  'double stop': 2,
  triad: 3,
  shell: 3,
  'four-note': 4,
};

/**
 * Every shape of a chord that one hand can hold (N3) on strings next to each other, one at most left
 * out: by kind, then strings, then fret. The pressed frets lie within five; each string sounds one
 * tone. Exact: nothing that fits is missing.
 */
export function findShapes(
  instrument: Instrument,
  chord: Chord,
  options: ShapeOptions = {},
): readonly ChordShape[] {
  const { kinds = SHAPE_KINDS, limits = DEFAULT_LIMITS } = options;
  return kinds.flatMap((kind) => {
    const sets = toneSets(chord, kind);
    if (sets.length === 0) return [];
    const found = new Map<string, ChordShape>();
    for (const strings of stringSets(instrument.tuning.length, STRINGS[kind])) {
      if (!isAsked(strings, options.strings)) continue;
      for (const set of sets) {
        for (const tones of layings(instrument, chord, set, strings, options.near)) {
          const shape = shapeOf(instrument, limits, kind, tones);
          if (shape !== null) found.set(keyOfShape(shape), shape);
        }
      }
    }
    return [...found.values()].sort(byStringsAndFret);
  });
}

/** Name of a shape by its places, unique among those of a kind. */
export function keyOfShape(s: Pick<ChordShape, 'tones'>): string {
  return s.tones.map((t) => `${t.string}/${t.fret}`).join(' ');
}

function isAsked(strings: readonly number[], asked: readonly number[] | undefined): boolean {
  return (
    asked === undefined ||
    (asked.length === strings.length && strings.every((s) => asked.includes(s)))
  );
}

/** Sets of so many strings with at most one left out between them. */
function stringSets(strings: number, count: number): readonly (readonly number[])[] {
  const sets: number[][] = [];
  for (let first = 1; first + count - 1 <= strings; first++) {
    sets.push(Array.from({ length: count }, (_, k) => first + k));
    if (first + count > strings) continue;
    // The string that is left out lies inside.
    for (let out = 1; out < count; out++) {
      sets.push(Array.from({ length: count }, (_, k) => first + k + (k >= out ? 1 : 0)));
    }
  }
  return sets;
}

/** Every way to put the tones of a set on strings, pressed frets within the frame of a hand. */
function* layings(
  i: Instrument,
  chord: Chord,
  set: ToneSet,
  strings: readonly number[],
  near: number | undefined,
): Generator<readonly ShapeTone[]> {
  const last = playableFrets(i);
  const lowest = near === undefined ? 0 : Math.max(0, near - 1);
  const highest = near === undefined ? last : Math.min(last, near + 4);
  const root = chromaOf(chord.root);
  const left = [...set];
  const chosen: ShapeTone[] = [];
  const fits = (fret: number) => {
    const frets = [...chosen.map((t) => t.fret), fret];
    const pressed = frets.filter((f) => f > 0);
    if (pressed.length === 0) return true;
    const hi = Math.max(...pressed);
    if (pressed.length < frets.length && hi > NUT_FRETS) return false;
    return hi - Math.min(...pressed) <= FRAME;
  };
  function* extend(k: number): Generator<readonly ShapeTone[]> {
    const string = strings[k];
    if (string === undefined) {
      yield [...chosen];
      return;
    }
    const open = openMidi(i, string);
    const tried: Degree[] = [];
    for (const degree of [...left]) {
      if (tried.some((d) => sameDegree(d, degree))) continue;
      tried.push(degree);
      left.splice(left.indexOf(degree), 1);
      const first = mod(root + degreeSemitones(degree) - open, 12);
      for (let fret = first; fret <= highest; fret += 12) {
        if (fret < lowest || !fits(fret)) continue;
        chosen.push({ string, fret, degree, midi: open + fret });
        yield* extend(k + 1);
        chosen.pop();
      }
      left.push(degree);
    }
  }
  yield* extend(0);
}

/** The shape of some places, or null where no hand holds it. */
function shapeOf(
  i: Instrument,
  limits: Limits,
  kind: ShapeKind,
  tones: readonly ShapeTone[],
): ChordShape | null {
  if (!isHeld(i, limits, tones)) return null;
  const low = tones.reduce((a, b) => (b.midi < a.midi ? b : a));
  if (kind === 'shell' && !sameDegree(low.degree, ROOT)) return null;
  const pressed = tones.map((t) => t.fret).filter((f) => f > 0);
  return {
    kind,
    tones,
    lowest: low.degree,
    name: shapeName(kind, tones, low.degree),
    fret: pressed.length === 0 ? 0 : Math.min(...pressed),
    mm: Math.round(reachNeeded(i, stopsOf(tones), [])),
    slideIn: tones.every((t) => t.fret >= 2),
    neighbours: neighboursOf(tones).filter((n) => {
      if (n.fret < 0 || n.fret > playableFrets(i)) return false;
      const moved = tones.map((t) => (t.string === n.string ? { ...t, fret: n.fret } : t));
      const frets = moved.map((t) => t.fret).filter((f) => f > 0);
      const wide = frets.length === 0 ? 0 : Math.max(...frets) - Math.min(...frets);
      return wide <= FRAME && isHeld(i, limits, moved);
    }),
  };
}

/** Whether a hand can hold places together: reach and fingers (N3). */
function isHeld(i: Instrument, limits: Limits, tones: readonly ShapeTone[]): boolean {
  const stops = stopsOf(tones);
  return reachNeeded(i, stops, []) <= limits.reach && fingersNeeded(stops) <= limits.fingers;
}

function stopsOf(tones: readonly ShapeTone[]): readonly Stop[] {
  return tones.map(({ string, fret, midi }) => ({
    note: { id: `${string}`, kind: 'stopped', midi },
    string,
    fret,
  }));
}

function byStringsAndFret(a: ChordShape, b: ChordShape): number {
  for (const [k, t] of a.tones.entries()) {
    const by = t.string - b.tones[k]!.string;
    if (by !== 0) return by;
  }
  return a.fret - b.fret || a.mm - b.mm || (keyOfShape(a) < keyOfShape(b) ? -1 : 1);
}

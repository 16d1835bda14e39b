import { curveOfShape } from '../../phrase/bend-curve';
import { replaceAt } from '../../phrase/rebuild';
import {
  type Bend,
  type BendPoint,
  CURL_SEMITONES,
  type NoteId,
  type PitchedNote,
} from '../../phrase/types';
import { mapNotes, notesOf } from '../../phrase/walk';
import { midiOf } from '../../theory/pitch';
import { spellAt } from '../../understand/spell';
import { firstPitched } from '../change';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';
import { sameData } from '../same';
import type { EditState } from '../state';

/** The shapes whose ends tell them apart; a curl has the ends of a bend and is told by its width. */
export type DrawnShape = Exclude<Bend['shape'], 'curl'>;

/** A bend as it was drawn, for one note. */
export interface DrawnBend {
  readonly note: NoteId;
  /** From 0 to 100 percent of the note, ascending. */
  readonly curve: readonly BendPoint[];
  /** From the fretted pitch to the top: whole semitones, or `CURL_SEMITONES`. */
  readonly semitones: number;
}

/** More points than this are no drawing; the fractions below hold 13. Ours. */
const MOST_POINTS = 64;

/** The whole curve of one note's bend and its width; each string of a double stop has its own. */
export const drawBend = defineCommand<DrawnBend>({
  id: 'bend.draw',
  group: 'Bends',
  title: 'Draw the shape of a bend',
  ask: { kind: 'given', is: isDrawnBend, some: drawnBends },
  joins: true,
  apply: (s, { note: id, curve, semitones }) => {
    const at = notesOf(s.phrase).find((n) => n.note.id === id);
    if (at === undefined) return cannot('the note is not there any more');
    if (at.note.kind === 'dead') return cannot('a dead note has no pitch');
    if (at.note.bend === undefined) return cannot('the note is not bent');
    const bend = bendOf(s, at.note, at.onset, curve, semitones);
    if (typeof bend === 'string') return cannot(bend);
    if (sameData(bend, at.note.bend)) return cannot('it is bent so already');
    const phrase = mapNotes(s.phrase, ({ note }) =>
      note.id === id && note.kind === 'pitched' ? { ...note, bend } : note,
    );
    return done({ ...s, phrase }, 'bend drawn');
  },
});

function bendOf(
  s: EditState,
  n: PitchedNote,
  onset: number,
  curve: readonly BendPoint[],
  semitones: number,
): Bend | string {
  const shape = shapeOfEnds(curve);
  if (shape === null) return 'a bend begins and ends where it is fretted or at its target';
  if (semitones === CURL_SEMITONES) {
    return shape === 'bend'
      ? { shape: 'curl', curve }
      : 'a curl rises from where it is fretted and ends a quarter tone up';
  }
  if (!Number.isInteger(semitones)) {
    return 'a bend rises whole semitones, or a quarter tone as a curl';
  }
  const midi = midiOf(n.pitch) + semitones;
  // A target that sounds so already keeps the name somebody gave it.
  const now = n.bend === undefined || n.bend.shape === 'curl' ? null : n.bend.target;
  const target = now !== null && midiOf(now) === midi ? now : spellAt(s.phrase, onset, midi);
  return { shape, target, curve };
}

/** The shape a curve has by its ends; null where an end lies between fretted pitch and target. */
export function shapeOfEnds(curve: readonly BendPoint[]): DrawnShape | null {
  switch (`${curve[0]?.amount} ${curve.at(-1)?.amount}`) {
    case '0 100':
      return 'bend';
    case '0 0':
      return 'bend-release';
    case '100 100':
      return 'pre-bend';
    case '100 0':
      return 'pre-bend-release';
    default:
      return null;
  }
}

/**
 * Where a point may stand, in percent of the note: its halves, thirds, quarters, sixths and eighths,
 * since those are the places a player counts inside a note, whatever its length. Stored as whole
 * percents: what is rounded is less than 1/200 of the note. Ours.
 */
export const BEND_PLACES: readonly number[] = [0, 3, 4, 6, 8, 9, 12, 15, 16, 18, 20, 21, 24].map(
  (of24) => Math.round((100 * of24) / 24),
);

/**
 * How high a point may stand, in percent of the width: steps of a quarter tone, the least a player
 * names (a curl); of a whole tone bend they are its quarters.
 */
export function bendHeights(semitones: number): readonly number[] {
  const steps = Math.max(1, Math.round(2 * semitones));
  return Array.from({ length: steps + 1 }, (_, i) => Math.round((100 * i) / steps));
}

/**
 * A point put somewhere else: kept between its neighbours and on the nearest place and height. The
 * ends stay at the ends of the note and are fretted or at the target, nothing between.
 */
export function movePoint(
  curve: readonly BendPoint[],
  index: number,
  to: BendPoint,
  semitones: number,
): readonly BendPoint[] {
  const point = curve[index];
  if (point === undefined) return curve;
  const end = isEnd(curve, index);
  const places = end ? [point.at] : placesBetween(curve, index - 1, index + 1);
  return replaceAt(curve, index, {
    at: nearest(places, to.at) ?? point.at,
    amount: nearest(end ? [0, 100] : bendHeights(semitones), to.amount) ?? point.amount,
  });
}

/** A step of a point, as an arrow key makes it. */
export type PointStep = 'sooner' | 'later' | 'up' | 'down';

/** The curve after a step of one point; null where it can go no further. */
export function stepPoint(
  curve: readonly BendPoint[],
  index: number,
  step: PointStep,
  semitones: number,
): readonly BendPoint[] | null {
  const point = curve[index];
  if (point === undefined) return null;
  const end = isEnd(curve, index);
  if (step === 'sooner' || step === 'later') {
    const places = end ? [] : placesBetween(curve, index - 1, index + 1);
    const at = beyond(places, point.at, step === 'later');
    return at === null ? null : replaceAt(curve, index, { ...point, at });
  }
  const amount = beyond(end ? [0, 100] : bendHeights(semitones), point.amount, step === 'up');
  return amount === null ? null : replaceAt(curve, index, { ...point, amount });
}

/**
 * A point added on the curve, at the nearest free place after one of its points and before the
 * next, on the nearest height.
 * @param at Percent of the note.
 * @returns null where there is no free place.
 */
export function addPoint(
  curve: readonly BendPoint[],
  after: number,
  at: number,
  semitones: number,
): { readonly curve: readonly BendPoint[]; readonly index: number } | null {
  const a = curve[after];
  const b = curve[after + 1];
  if (a === undefined || b === undefined || curve.length >= MOST_POINTS) return null;
  const place = nearest(placesBetween(curve, after, after + 1), at);
  if (place === null) return null;
  const on = a.amount + ((b.amount - a.amount) * (place - a.at)) / (b.at - a.at);
  const amount = nearest(bendHeights(semitones), on) ?? a.amount;
  const point: BendPoint = { at: place, amount };
  const next = [...curve.slice(0, after + 1), point, ...curve.slice(after + 1)];
  return { curve: next, index: after + 1 };
}

/** The curve without a point; null for its ends, which it cannot do without. */
export function removePoint(
  curve: readonly BendPoint[],
  index: number,
): readonly BendPoint[] | null {
  if (curve[index] === undefined || isEnd(curve, index)) return null;
  return curve.filter((_, i) => i !== index);
}

/** Whether a point is the first or the last. */
export function isEnd(curve: readonly BendPoint[], index: number): boolean {
  return index === 0 || index === curve.length - 1;
}

function placesBetween(curve: readonly BendPoint[], left: number, right: number) {
  const from = curve[left]?.at ?? 0;
  const to = curve[right]?.at ?? 100;
  return BEND_PLACES.filter((p) => p > from && p < to);
}

function nearest(values: readonly number[], to: number): number | null {
  let found: number | null = null;
  for (const v of values) {
    if (found === null || Math.abs(v - to) < Math.abs(found - to)) found = v;
  }
  return found;
}

/** The first of ascending values past one, upwards or downwards. */
function beyond(values: readonly number[], from: number, upwards: boolean): number | null {
  const found = upwards ? values.find((v) => v > from) : values.filter((v) => v < from).at(-1);
  return found ?? null;
}

/** Good and bad drawings of the chosen note, for tests that try everything. */
function drawnBends(s: EditState): readonly DrawnBend[] {
  const note = firstPitched(s)?.id ?? 'none';
  const up = curveOfShape('bend');
  return [
    { note, curve: movePoint(up, 1, { at: 80, amount: 100 }, 2), semitones: 2 },
    { note, curve: curveOfShape('bend-release'), semitones: 1 },
    { note, curve: curveOfShape('pre-bend-release'), semitones: 3 },
    { note, curve: up, semitones: CURL_SEMITONES },
    { note, curve: curveOfShape('pre-bend'), semitones: CURL_SEMITONES },
    { note, curve: replaceAt(up, up.length - 1, { at: 100, amount: 40 }), semitones: 2 },
    { note, curve: [...up].reverse(), semitones: 2 },
    { note, curve: up, semitones: 9 },
    { note: 'nobody', curve: up, semitones: 2 },
  ];
}

function isDrawnBend(x: unknown): x is DrawnBend {
  if (typeof x !== 'object' || x === null) return false;
  const { note, curve, semitones } = x as Record<string, unknown>;
  return (
    typeof note === 'string' &&
    Number.isFinite(semitones) &&
    Array.isArray(curve) &&
    curve.length <= MOST_POINTS &&
    curve.every((p: unknown) => {
      if (typeof p !== 'object' || p === null) return false;
      const { at, amount, ...more } = p as Record<string, unknown>;
      return isPercent(at) && isPercent(amount) && Object.keys(more).length === 0;
    })
  );
}

function isPercent(n: unknown): boolean {
  return typeof n === 'number' && n >= 0 && n <= 100;
}

import { openMidi, playableFrets } from '../../../src/core/phrase/instrument';
import { type Bend, type BendPoint, type PitchedNote, ROLES } from '../../../src/core/phrase/types';
import { midiOf, type PitchClass } from '../../../src/core/theory/pitch';
import type { Dice } from './dice';
import type { Recipe } from './features';
import { type Hand, isInHand } from './hand';
import { spell } from './spelling';

type Draft = { -readonly [K in keyof PitchedNote]: PitchedNote[K] };

/** Most semitones a string can be bent (M10). */
export function widestBend(string: number): number {
  return string === 5 || string === 6 || string === 7 ? 2 : 4;
}

export function addBend(d: Dice, note: PitchedNote, root: PitchClass, hand: Hand): PitchedNote {
  const wanted = d.chance(0.1);
  const shape = d.pick([
    'bend',
    'bend',
    'bend-release',
    'pre-bend',
    'pre-bend-release',
    'curl',
  ] as const);
  const width = Math.min(d.pick([1, 2, 2, 2, 3, 4]), widestBend(note.string));
  const target = spell(d, root, midiOf(note.pitch) + width);
  const middle = d.int(1, 60);
  if (!wanted || !hand.recipe.has('bends') || note.fret === 0) return note;
  if (note.harmonic?.kind === 'natural') return note;
  return { ...note, bend: bendOf(shape, target, middle) };
}

function bendOf(shape: Bend['shape'], target: PitchedNote['pitch'], middle: number): Bend {
  switch (shape) {
    case 'curl':
      return { shape, curve: curve([0, 0], [middle, 0], [100, 100]) };
    case 'bend':
      return { shape, target, curve: curve([0, 0], [middle, 100], [100, 100]) };
    case 'bend-release':
      return { shape, target, curve: curve([0, 0], [middle, 100], [middle + 20, 100], [100, 0]) };
    case 'pre-bend':
      return { shape, target, curve: curve([0, 100], [100, 100]) };
    case 'pre-bend-release':
      return { shape, target, curve: curve([0, 100], [middle, 100], [100, 0]) };
  }
}

function curve(...points: readonly (readonly [number, number])[]): BendPoint[] {
  return points.map(([at, amount]) => ({ at, amount }));
}

/** What the note shares with those struck with it. */
export interface Together {
  readonly alone: boolean;
  /** All are slid in together by a semitone. */
  readonly slid: boolean;
  /** A grace note on its string leads to it. */
  readonly graced: boolean;
}

/** Slides from and to nowhere, vibrato, trill, bar and the like, where they make sense together. */
export function addColour(
  d: Dice,
  note: PitchedNote,
  root: PitchClass,
  hand: Hand,
  at: Together,
): PitchedNote {
  const r = hand.recipe;
  const n: Draft = { ...note };
  const top = playableFrets(hand.frame.instrument);
  const stopped = n.fret > 0 && n.harmonic?.kind !== 'natural';
  const slide = at.alone ? d.chance(0.07) : at.slid;
  if (slide && r.has('slide-ins') && stopped && n.attack === undefined && !at.graced)
    slideIn(d, n, top, hand, at.slid);
  const off = d.pick(['up', 'down'] as const);
  const somewhere = off === 'up' ? n.fret < top : n.fret > 1;
  if (d.chance(0.03) && r.has('slide-outs') && stopped && somewhere) n.slideOut = off;
  const open = openMidi(hand.frame.instrument, n.string);
  const trill = d.pick([1, 2, 2, 3, 5]);
  if (d.chance(0.03) && r.has('trills') && n.bend === undefined && n.harmonic === undefined) {
    const within = at.alone && isInHand(n.fret + trill, hand);
    if (n.fret + trill <= top && (within || !r.playable))
      n.trill = { upper: spell(d, root, open + n.fret + trill) };
  }
  if (d.chance(0.1) && r.has('vibrato') && stopped && n.trill === undefined) {
    n.vibrato = d.pick(['narrow', 'wide'] as const);
  }
  if (d.chance(0.02) && r.has('bar dips')) n.barDip = d.pick([0.5, 1, 2, 3]);
  if (d.chance(0.04) && r.has('ghost notes')) n.ghost = true;
  const mayRing = !r.playable || hand.still || n.fret === 0;
  if (d.chance(0.12) && r.has('let ring') && mayRing) n.letRing = true;
  return n;
}

function slideIn(d: Dice, n: Draft, top: number, hand: Hand, together: boolean): void {
  const from = together ? 'below' : d.pick(['below', 'below', 'above'] as const);
  const semitones = together ? 1 : d.pick([1, 1, 1, 2, 3]);
  const start = from === 'below' ? n.fret - semitones : n.fret + semitones;
  if (start < 1 || start > top) return;
  if (hand.recipe.playable && hand.still && !isInHand(start, hand)) return;
  const definite = together || d.chance(0.75);
  n.slideIn = definite ? { kind: 'interval', from, semitones } : { kind: 'indefinite', from };
}

/** What the player wrote beside the note: fingers, anchor, role, pin. */
export function addUserMarks(d: Dice, note: PitchedNote, r: Recipe): PitchedNote {
  const n: Draft = { ...note };
  if (d.chance(0.06) && r.has('fingers') && n.fret > 0)
    n.finger = d.pick([1, 2, 3, 4, 'T'] as const);
  if (d.chance(0.05) && r.has('fingers')) n.pluck = d.pick(['p', 'i', 'm', 'a', 'c'] as const);
  if (d.chance(0.05) && r.has('anchors')) n.anchor = d.pick(['chord', 'key', 'goal'] as const);
  if (d.chance(0.04) && r.has('roles')) n.role = d.pick(ROLES);
  if (d.chance(0.02) && r.has('roles')) n.anticipation = d.chance(0.5);
  if (d.chance(0.04) && r.has('pins')) n.pinned = true;
  return n;
}

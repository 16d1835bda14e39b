import { openMidi } from '../phrase/instrument';
import type { Instrument, Note, NoteId, Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { midiOf } from '../theory/pitch';
import { playElsewhere } from './apply';
import { DEFAULT_LIMITS } from './limits';
import { checkPlayable } from './playable';
import { type HandAt, handPath } from './positions';
import type { Fingering, Neighbour } from './problem';
import { type NoteWish, problemOf, secondsPerTick } from './problem-of';
import { findFingerings } from './solve';

/**
 * What a player gives to keep notes on the strings where the fingers know them: for a few the effort of one change of
 * position each, unhurried (`Weights`), so that one that strays from the hand comes back to it; for many that of a way
 * of five frets, so that small savings are no reason to learn a phrase anew, and a quarter each, four moments being a
 * figure (`figures-alike.ts`). *Ours*.
 */
const PRICES = { few: { note: 1, all: 0 }, many: { note: 0.25, all: 4.2 } } as const;
type Extent = keyof typeof PRICES;

/** The same of many in place of a way of five frets, where there is no shape to keep: the first then costs one. */
const SHAPELESS = PRICES.few.note - PRICES.many.note;

/** A way that is hardly cheaper than the shape is the shape. */
const EQUAL = 1e-6;

/** A hand that goes further than so many frets in less time jumps; in 0.2 s it could not at all. *Ours*. */
const FAR = 5;
const SECONDS = 0.5;

/** The highest fret to which a phrase goes unasked, that of the low strings, and what a note beyond it costs. *Ours*. */
export const HIGHEST_FRET = 17;
const LOW_FRET = 15;
const BEYOND = 10;

/** How the player of a phrase has it where it was written. */
export interface OwnWay {
  /** How much more it takes than other places would, paid for (N4): so much it is worth to have it there. */
  readonly regret: Readonly<Record<Extent, number>>;
  /** Frets that the hand goes in it, there and back. */
  readonly way: number;
  /** What lies far up the neck, or is bent on a low string, already. */
  readonly awkward: Awkward;
}

/** Notes by their ids and what is awkward in them. */
type Awkward = ReadonlySet<`${'bent' | 'low' | 'high'} ${NoteId}`>;

export function ownWay(p: Phrase): OwnWay {
  const stays = costAsItLies(p, undefined);
  const found = awkward(p);
  const regret = (extent: Extent) => {
    const best = cheapest(p, undefined, found, extent);
    return stays === null || best === undefined ? 0 : stays - best.cost;
  };
  return {
    regret: { few: regret('few'), many: regret('many') },
    way: wayOf(handPath(p)),
    awkward: found,
  };
}

/** Whether a phrase lies far up the neck, or bends low strings, where its player does not. */
export function strays(p: Phrase, own: () => OwnWay): boolean {
  const found = awkward(p);
  return found.size > 0 && [...found].some((name) => !own().awkward.has(name));
}

/**
 * A phrase that was moved as a shape, from where the hand is: it stays there, but for a few notes that lie nearer to the
 * hand on other strings, or all of it where that takes clearly less effort (`PRICES`), each more than its player left
 * on the neck already where it came from; or unless it strays.
 * @param before Where the hand comes from; absent where a piece begins.
 */
export function placeFrom(p: Phrase, before: Neighbour | undefined, own: OwnWay): Phrase {
  const stays = costAsItLies(p, before);
  if (stays === null) return p;
  const offer = (extent: Extent) => {
    const way = cheapest(p, before, own.awkward, extent);
    if (way === undefined) return [];
    const saves = stays - way.cost - own.regret[extent];
    const keeps = extent === 'few' || saves < SHAPELESS || isShape(p, before, own);
    return [{ way, gain: saves - (keeps ? PRICES[extent].all : SHAPELESS) }];
  };
  const strayed = strays(p, () => own);
  const ways = [...offer('few'), ...offer('many')]
    .filter(({ gain }) => strayed || gain > EQUAL)
    .sort((a, b) => b.gain - a.gain)
    .map(({ way }) => playElsewhere(p, way));
  const placed = ways.find((w) => !strays(w, () => own)) ?? (strayed ? ways[0] : undefined);
  if (placed === undefined) return p;
  return checkPlayable(placed).length > checkPlayable(p).length ? p : placed;
}

/** The cheapest way to play it, with what it costs to leave strings and to go far up the neck. */
function cheapest(
  p: Phrase,
  before: Neighbour | undefined,
  own: Awkward,
  extent: Extent,
): Fingering | undefined {
  const wishes = stringWishes(p, own, PRICES[extent].note);
  return findFingerings(problemOf(p, { ...from(before), wishes }))[0];
}

/**
 * Whether the hand finds a shape as it lies: it jumps neither on its way to it nor in it, nor goes much farther than
 * its player does. Where chords that were one are two the shape of each may lie for itself.
 */
function isShape(p: Phrase, before: Neighbour | undefined, own: OwnWay): boolean {
  const perTick = secondsPerTick(p.tempo);
  const path = handPath(p);
  const [first] = path;
  if (wayOf(path) - own.way > FAR) return false;
  if (before !== undefined && first !== undefined && far(first.fret - before.hand, before.seconds))
    return false;
  return path.every((h, i) => {
    const last = path[i - 1];
    return last === undefined || !far(h.fret - last.fret, (h.onset - last.onset) * perTick);
  });
}

const wayOf = (path: readonly HandAt[]) =>
  path.reduce((sum, h, i) => sum + Math.abs(h.fret - (path[i - 1] ?? h).fret), 0);

const far = (frets: number, seconds: number) => Math.abs(frets) > FAR && seconds < SECONDS;

/** Null where its places cannot be played. */
function costAsItLies(p: Phrase, before: Neighbour | undefined): number | null {
  return findFingerings(problemOf(p, { ...from(before), keepPlaces: true }))[0]?.cost ?? null;
}

const from = (before: Neighbour | undefined) => (before === undefined ? {} : { before });

function awkward(p: Phrase): Awkward {
  return new Set(
    notesOf(p).flatMap(({ note }) => {
      const low = isLow(note.string);
      const { id, fret } = note;
      return [
        ...(low && isBent(note) ? [`bent ${id}` as const] : []),
        ...(low && fret > LOW_FRET ? [`low ${id}` as const] : []),
        ...(fret > HIGHEST_FRET && !keepsItsFret(note) ? [`high ${id}` as const] : []),
      ];
    }),
  );
}

/** A natural harmonic lies on its node, and a dead note says no fret. */
const keepsItsFret = (n: Note) => n.kind === 'dead' || n.harmonic?.kind === 'natural';

const isLow = (string: number) => string >= DEFAULT_LIMITS.lowBendFrom;

/** A curl can be pulled on any string. */
const isBent = (n: Note) => n.kind === 'pitched' && n.bend !== undefined && n.bend.shape !== 'curl';

/**
 * What keeps notes from going far up the neck, bends off the low strings, and notes on the strings where they lie.
 * @param own What lies far up, or is bent on a low string, where its player has it.
 */
function stringWishes(
  p: Phrase,
  own: Awkward,
  price: number,
): (id: NoteId) => NoteWish | undefined {
  const { instrument } = p;
  const wishes = new Map(
    notesOf(p).flatMap(({ note }): [NoteId, NoteWish][] => {
      if (note.kind === 'dead' || keepsItsFret(note)) return [];
      const free = {
        bent: own.has(`bent ${note.id}`) || !isBent(note),
        low: own.has(`low ${note.id}`),
        high: own.has(`high ${note.id}`),
      };
      const leaves = (k: number) => (k + 1 === note.string ? 0 : price);
      const far = beyond(instrument, midiOf(note.pitch), free);
      return [[note.id, { stringCosts: far.map((c, k) => c + leaves(k)) }]];
    }),
  );
  return (id) => wishes.get(id);
}

/**
 * By string.
 * @param free What a note may be because it was written so, or is not at all.
 */
function beyond(
  i: Instrument,
  midi: number,
  free: { readonly bent: boolean; readonly low: boolean; readonly high: boolean },
): readonly number[] {
  return i.tuning.map((_, k) => {
    const fret = midi - openMidi(i, k + 1);
    const low = isLow(k + 1) && (!free.bent || (!free.low && fret > LOW_FRET));
    return low || (!free.high && fret > HIGHEST_FRET) ? BEYOND : 0;
  });
}

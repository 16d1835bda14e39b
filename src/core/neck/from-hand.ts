import { openMidi } from '../phrase/instrument';
import type { Instrument, Note, NoteId, Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { midiOf } from '../theory/pitch';
import { playElsewhere } from './apply';
import { DEFAULT_LIMITS } from './limits';
import { checkPlayable } from './playable';
import { handPath } from './positions';
import type { Neighbour } from './problem';
import { type NoteWish, problemOf, secondsPerTick } from './problem-of';
import { findFingerings } from './solve';

/**
 * What a player gives to keep a phrase where its fingers know it: the effort of one change of position,
 * unhurried (`Weights`), for every four moments, which are a figure (`figures-alike.ts`). *Ours*.
 */
const WORTH = 1;
const FIGURE = 4;

/**
 * What it is worth beside that where the hand gets there and through it without a jump: the effort of a way of
 * five frets (`Weights`), so that a few small savings are no reason to learn a phrase anew. *Ours*.
 */
const NO_JUMP = 4.2;

/** A hand that goes further than so many frets in less time jumps; in 0.2 s it could not at all. *Ours*. */
const FAR = 5;
const SECONDS = 0.5;

/** The highest fret of a low string to which a phrase goes unasked, and what a note beyond it costs. *Ours*. */
const LOW_FRET = 15;
const BEYOND = 10;

/** How the player of a phrase has it where it was written. */
export interface OwnWay {
  /** How much more it takes than the easiest way to play it (N4): so much it is worth to have it there. */
  readonly regret: number;
  /** What lies far up the low strings, or is bent there, already. */
  readonly awkward: ReadonlySet<NoteId>;
}

export function ownWay(p: Phrase): OwnWay {
  const stays = costAsItLies(p, undefined);
  const [best] = findFingerings(problemOf(p));
  const regret = stays === null || best === undefined ? 0 : stays - best.cost;
  return { regret, awkward: new Set(awkward(p)) };
}

/** Whether a phrase lies far up the low strings, or bends them, where its player does not. */
export function strays(p: Phrase, own: () => OwnWay): boolean {
  const found = awkward(p);
  return found.length > 0 && found.some((id) => !own().awkward.has(id));
}

/**
 * A phrase that was moved as a shape, from where the hand is: it stays there unless another place takes clearly
 * less effort, more than its player left on the neck already where it came from, and little less only where the hand
 * would jump; or unless it strays.
 * @param before Where the hand comes from; absent where a piece begins.
 */
export function placeFrom(p: Phrase, before: Neighbour | undefined, own: OwnWay): Phrase {
  const stays = costAsItLies(p, before);
  if (stays === null) return p;
  const problem = problemOf(p, { ...from(before), wishes: lowerDown(p, own) });
  const [best] = findFingerings(problem);
  if (best === undefined) return p;
  const worth = WORTH * Math.max(1, problem.moments.length / FIGURE);
  const more = stays - best.cost - own.regret - worth;
  const leaves = more > NO_JUMP || (more > 0 && jumps(p, before));
  if (!leaves && !strays(p, () => own)) return p;
  const placed = playElsewhere(p, best);
  return checkPlayable(placed).length > checkPlayable(p).length ? p : placed;
}

/** Whether the hand jumps on its way to a phrase as it lies, or inside it. */
function jumps(p: Phrase, before: Neighbour | undefined): boolean {
  const perTick = secondsPerTick(p.tempo);
  const path = handPath(p);
  const [first] = path;
  if (before !== undefined && first !== undefined && far(first.fret - before.hand, before.seconds))
    return true;
  return path.some((h, i) => {
    const last = path[i - 1];
    return last !== undefined && far(h.fret - last.fret, (h.onset - last.onset) * perTick);
  });
}

const far = (frets: number, seconds: number) => Math.abs(frets) > FAR && seconds < SECONDS;

/** Null where its places cannot be played. */
function costAsItLies(p: Phrase, before: Neighbour | undefined): number | null {
  return findFingerings(problemOf(p, { ...from(before), keepPlaces: true }))[0]?.cost ?? null;
}

const from = (before: Neighbour | undefined) => (before === undefined ? {} : { before });

function awkward(p: Phrase): readonly NoteId[] {
  return notesOf(p).flatMap(({ note }) => {
    if (note.string < DEFAULT_LIMITS.lowBendFrom) return [];
    return isBent(note) || note.fret > LOW_FRET ? [note.id] : [];
  });
}

/** A curl can be pulled on any string. */
const isBent = (n: Note) => n.kind === 'pitched' && n.bend !== undefined && n.bend.shape !== 'curl';

/** What keeps notes from going far up the low strings, and bends off them. */
function lowerDown(p: Phrase, own: OwnWay): (id: NoteId) => NoteWish | undefined {
  const { instrument } = p;
  const wishes = new Map(
    notesOf(p).flatMap(({ note }): [NoteId, NoteWish][] => {
      if (note.kind === 'dead' || note.harmonic?.kind === 'natural') return [];
      if (own.awkward.has(note.id)) return [];
      const stringCosts = beyond(instrument, midiOf(note.pitch), isBent(note));
      return stringCosts.some((c) => c > 0) ? [[note.id, { stringCosts }]] : [];
    }),
  );
  return (id) => wishes.get(id);
}

/** By string. */
function beyond(i: Instrument, midi: number, bent: boolean): readonly number[] {
  return i.tuning.map((_, k) => {
    const high = midi - openMidi(i, k + 1) > LOW_FRET;
    return k + 1 >= DEFAULT_LIMITS.lowBendFrom && (bent || high) ? BEYOND : 0;
  });
}

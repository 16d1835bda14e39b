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

/** The highest fret to which a phrase goes unasked, that of the low strings, and what a note beyond it costs. *Ours*. */
export const HIGHEST_FRET = 17;
const LOW_FRET = 15;
const BEYOND = 10;

/** How the player of a phrase has it where it was written. */
export interface OwnWay {
  /** How much more it takes than the easiest way to play it (N4): so much it is worth to have it there. */
  readonly regret: number;
  /** What lies far up the neck, or is bent on a low string, already. */
  readonly awkward: Awkward;
}

/** Notes by their ids and what is awkward in them. */
type Awkward = ReadonlySet<`${'bent' | 'low' | 'high'} ${NoteId}`>;

export function ownWay(p: Phrase): OwnWay {
  const stays = costAsItLies(p, undefined);
  const [best] = findFingerings(problemOf(p));
  const regret = stays === null || best === undefined ? 0 : stays - best.cost;
  return { regret, awkward: awkward(p) };
}

/** Whether a phrase lies far up the neck, or bends low strings, where its player does not. */
export function strays(p: Phrase, own: () => OwnWay): boolean {
  const found = awkward(p);
  return found.size > 0 && [...found].some((name) => !own().awkward.has(name));
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
  const strayed = strays(p, () => own);
  if (!leaves && !strayed) return p;
  const placed = playElsewhere(p, best);
  if (!strayed && strays(placed, () => own)) return p;
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

/** What keeps notes from going far up the neck, and bends off the low strings. */
function lowerDown(p: Phrase, own: OwnWay): (id: NoteId) => NoteWish | undefined {
  const { instrument } = p;
  const wishes = new Map(
    notesOf(p).flatMap(({ note }): [NoteId, NoteWish][] => {
      if (note.kind === 'dead' || keepsItsFret(note)) return [];
      const free = {
        bent: own.awkward.has(`bent ${note.id}`) || !isBent(note),
        low: own.awkward.has(`low ${note.id}`),
        high: own.awkward.has(`high ${note.id}`),
      };
      const stringCosts = beyond(instrument, midiOf(note.pitch), free);
      return stringCosts.some((c) => c > 0) ? [[note.id, { stringCosts }]] : [];
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

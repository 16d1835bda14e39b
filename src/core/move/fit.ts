import type { NoteId } from '../phrase/types';
import { type Tried, withoutTechniques } from './give-up';
import { tryHand } from './hand';
import { type HandTask, type Octaves, type Placed, shiftTask } from './hand-task';
import { inShort, obstaclesOf } from './obstacles';
import { impossiblePins, pinned, release } from './pins';
import { adapted } from './plan';
import type { Adaptation, HandWay, Obstacle } from './request';

/** Where the phrase came to lie, and which wishes were given up for it. */
export interface Fit {
  readonly kind: 'placed';
  readonly placed: Placed;
  readonly hand: HandWay;
  /** Whole octaves by segment on top of those that M7 chose. */
  readonly octaves: Octaves;
  readonly general: readonly Adaptation[];
  readonly dropped: ReadonlyMap<NoteId, readonly Adaptation[]>;
  /** What stood in the way of the place as it was wished; empty where it was kept. */
  readonly obstacles: readonly Obstacle[];
}

/** The notes have no place on the neck in any octave. */
export interface NoPlace {
  readonly kind: 'no place';
  readonly obstacles: readonly Obstacle[];
}

/** What is wished of the hand. */
export interface HandWish {
  readonly hand: HandWay;
  /**
   * Other octaves that may be tried, the best first; asked for only where the wished ones will not
   * do. Empty where the pitches are not to change.
   */
  readonly otherOctaves: () => readonly Octaves[];
  /** Whether other octaves still go the way that was asked for, so that they come before another hand. */
  readonly asAsked: (octaves: Octaves) => boolean;
  /** Names of the segments, empty for the whole phrase. */
  readonly names: readonly string[];
  /** Segments that M7 took beyond what was wished, to keep the line together; none where absent. */
  readonly beyond?: readonly boolean[];
}

interface Attempt {
  readonly hand: HandWay;
  readonly octaves: Octaves;
}

/**
 * Finds a place for the phrase (M12): first as wished, then by the order of the fallbacks — string,
 * octave, technique — each of which is reported with what stood in its way.
 */
export function fitHand(t: HandTask, wish: HandWish): Fit | NoPlace {
  const first = tryHand(t, wish.hand);
  if (first !== null && first.broken.length === 0) {
    const found = { placed: first, hand: wish.hand, octaves: [] };
    return {
      kind: 'placed',
      ...found,
      general: explain(wish, found, []),
      dropped: NONE,
      obstacles: [],
    };
  }
  const obstacles = obstaclesOf(t, wish.hand, first);
  const others = wish.otherOctaves();
  const attempts = attemptsFor(wish, others);
  const settled = (found: Tried, dropped: Fit['dropped']): Fit => {
    return {
      kind: 'placed',
      ...found,
      general: explain(wish, found, obstacles),
      dropped,
      obstacles,
    };
  };
  const next = firstPlayable(t, attempts);
  if (next !== null) return settled(next, NONE);
  const freed = freePins(t, attempts);
  if (freed.found !== null) return settled(freed.found, freed.released);
  const given = withoutTechniques(freed.task, wish.hand, [[], ...others], freed.released);
  return given === null
    ? { kind: 'no place', obstacles: obstaclesOf(freed.task, 'area', null) }
    : settled(given.best, given.dropped);
}

const NONE: ReadonlyMap<NoteId, readonly Adaptation[]> = new Map();

/**
 * A shape is worth an octave (M12), as long as the line still goes where it was asked to; other
 * hands look for other strings first.
 */
function attemptsFor({ hand, asAsked }: HandWish, others: readonly Octaves[]): readonly Attempt[] {
  const kept = others.filter(asAsked);
  const left = others.filter((o) => !asAsked(o));
  const by = (h: HandWay, list: readonly Octaves[]) =>
    list.map((octaves): Attempt => ({ hand: h, octaves }));
  if (hand === 'area') return by('area', [[], ...kept, ...left]);
  if (hand === 'strings') return by('area', [[], ...kept, ...left]);
  return [
    ...by('shape', kept),
    ...by('area', [[], ...kept]),
    ...by('shape', left),
    ...by('area', left),
  ];
}

function firstPlayable(t: HandTask, attempts: readonly Attempt[]): Tried | null {
  for (const a of attempts) {
    const placed = tryHand(shiftTask(t, a.octaves), a.hand);
    if (placed !== null && placed.broken.length === 0) return { placed, ...a };
  }
  return null;
}

interface Freed {
  readonly task: HandTask;
  readonly released: Fit['dropped'];
  readonly found: Tried | null;
}

/** Releases as few pins as will do (M12): those whose string has not the pitch, then one, then all. */
function freePins(t: HandTask, attempts: readonly Attempt[]): Freed {
  const pins = pinned(t);
  if (pins.length === 0) return { task: t, released: NONE, found: null };
  const impossible = impossiblePins(t);
  const first = release(t, impossible);
  if (impossible.size > 0) {
    const found = firstPlayable(first.task, attempts);
    if (found !== null) return { ...first, found };
  }
  const still = pins.filter((n) => !impossible.has(n.id));
  const why = (ids: readonly NoteId[]) =>
    new Map([...impossible, ...ids.map((id) => [id, NO_HAND] as const)]);
  for (const n of still.length > 1 ? still : []) {
    const freed = release(t, why([n.id]));
    const found = firstPlayable(freed.task, attempts.slice(0, 2));
    if (found !== null) return { ...freed, found };
  }
  const all = release(t, why(still.map((n) => n.id)));
  return { ...all, found: still.length === 0 ? null : firstPlayable(all.task, attempts) };
}

const NO_HAND = 'with it no hand can play the phrase';

function explain(
  wish: HandWish,
  found: Tried,
  obstacles: readonly Obstacle[],
): readonly Adaptation[] {
  const said: Adaptation[] = [];
  const because = `since ${inShort(obstacles)}`;
  for (const text of octavesInWords(wish, found.octaves)) {
    said.push(adapted('M7', `${text}, ${because}`, true));
  }
  if (found.hand !== wish.hand) {
    const words =
      wish.hand === 'shape'
        ? 'the shape cannot be kept'
        : 'the shape does not fit on the next strings';
    const why = said.length > 0 ? '' : `, ${because}`;
    const text = `${words}, so the notes were placed in the area of the hand${why}`;
    said.push(adapted('M12', text, true));
  }
  if (found.placed.wandered) {
    const text = 'the phrase travels farther than one area, so it was fingered over the whole neck';
    said.push(adapted('M12', text, true));
  }
  if (found.placed.shifted !== 0) {
    const n = Math.abs(found.placed.shifted);
    const where = found.placed.shifted > 0 ? 'up' : 'down';
    const frets = `${n} ${n === 1 ? 'fret' : 'frets'}`;
    const text = `the hand moves ${frets} ${where} the neck: there is no room where it was`;
    said.push(adapted('M12', text, true));
  }
  return said;
}

/** Which segments came to lie in another octave than M7 chose, and in which. */
function octavesInWords({ names, beyond = [] }: HandWish, octaves: Octaves): readonly string[] {
  const word = (k: number, i: number) => {
    const n = Math.abs(k);
    const than = beyond[i] === true ? 'the line would go on' : 'asked';
    return `${n === 1 ? 'an octave' : `${n} octaves`} ${k > 0 ? 'higher' : 'lower'} than ${than}`;
  };
  const moved = octaves.filter((k) => k !== 0);
  if (moved.length === 0) return [];
  const whole = moved.length === octaves.length && new Set(octaves).size === 1;
  if (whole) return [word(octaves[0]!, -1)];
  const texts = octaves.flatMap((k, i) =>
    k === 0 ? [] : [`${names[i] ?? 'a part'} ${word(k, i)}`],
  );
  return [...new Set(texts)];
}

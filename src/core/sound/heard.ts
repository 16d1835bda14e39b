import type { DeadNote, PhraseEvent, PitchedNote } from '../phrase/types';
import type { DeadTechnique, MomentTechnique, PitchedTechnique } from '../technique/fields';
import { addCurves } from './curve';
import { LEVEL } from './loudness';
import { bendCurve, type SlideManner, shakeOf, slideInCurve, slideOffCurve } from './motion';
import type { Dip, Manner, PitchPoint, Seconds, Shake } from './types';

/** What a technique does to the sound of what has it. */
interface Heard<T> {
  /** Decibels it adds. */
  readonly level?: (of: T) => number;
  /** How the string is touched meanwhile; null for as usual. */
  readonly manner?: (of: T) => Manner | null;
  /** The share of its written length that it sounds. */
  readonly share?: (of: T) => number;
  /** Cents it adds over its length. */
  readonly curve?: (of: T, length: Seconds, slides: SlideManner) => readonly PitchPoint[];
  readonly shake?: (of: T, length: Seconds) => Shake | null;
  readonly dip?: (of: T, length: Seconds) => Dip | null;
  /** It sounds on until its string is struck again. */
  readonly rings?: (of: T) => boolean;
}

type Table<F extends string, T> = Readonly<Record<F, Heard<T> | null>>;

/** A staccato note sounds half its length (common practice). */
const STACCATO = 0.5;
/** A dip of the vibrato bar: longest time, and share of the note (ours). */
const DIP = { length: 0.4, share: 0.6 } as const;

/** Each technique of a moment; null where it divides the time of the moment, which `event.ts` does. */
const MOMENT: Table<MomentTechnique, PhraseEvent> = {
  graces: null,
  rake: null,
  tremolo: null,
  accent: { level: (e) => (e.accent === true ? LEVEL.accent : 0) },
  tenuto: { level: (e) => (e.tenuto === true ? LEVEL.tenuto : 0) },
  palmMute: {
    level: (e) => (e.palmMute === true ? LEVEL.palm : 0),
    manner: (e) => (e.palmMute === true ? 'palm' : null),
  },
  staccato: { share: (e) => (e.staccato === true ? STACCATO : 1) },
  // An upstroke is an upstroke, of one string or of many.
  stroke: { level: (e) => (e.stroke === 'up' && e.strum !== 'up' ? LEVEL.upstroke : 0) },
  strum: { level: (e) => (e.strum === 'up' ? LEVEL.upstroke : 0) },
};

/** Each technique of a note with pitch; curves are laid on top of each other in this order. */
const PITCHED: Table<PitchedTechnique, PitchedNote> = {
  // How it begins depends on the note before, and a trill is many sounds: `event.ts` has both.
  attack: null,
  trill: null,
  harmonic: {
    level: (n) => (n.harmonic === undefined ? 0 : LEVEL.harmonic),
    manner: (n) =>
      n.harmonic === undefined ? null : n.harmonic.kind === 'pinch' ? 'pinch' : 'harmonic',
  },
  slideIn: { curve: slideInCurve },
  bend: { curve: bendCurve },
  slideOut: { curve: slideOffCurve },
  vibrato: { shake: shakeOf },
  barDip: {
    dip: (n, length) =>
      n.barDip === undefined
        ? null
        : { from: 0, length: Math.min(DIP.length, DIP.share * length), depth: 100 * n.barDip },
  },
  ghost: { level: (n) => (n.ghost === true ? LEVEL.ghost : 0) },
  letRing: { rings: (n) => n.letRing === true },
  // Which finger plays is not heard.
  finger: null,
  pluck: null,
};

const DEAD: Table<DeadTechnique, DeadNote> = {
  scrape: {
    level: (n) => (n.scrape === undefined ? 0 : LEVEL.scrape - LEVEL.dead),
    manner: (n) => (n.scrape === undefined ? null : 'scrape'),
  },
};

/** Every answer of a table to one question. */
function answers<T, A>(
  table: Table<string, T>,
  ask: (heard: Heard<T>) => A | null | undefined,
): A[] {
  return Object.values(table).flatMap((heard) => {
    const answer = heard === null ? null : (ask(heard) ?? null);
    return answer === null ? [] : [answer];
  });
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((a, b) => a + b, 0);
}

/** What the event as a whole adds, in decibels. */
export function eventLevel(e: PhraseEvent): number {
  return sum(answers(MOMENT, (h) => h.level?.(e)));
}

/** The share of its length that an event sounds. */
export function eventShare(e: PhraseEvent): number {
  return answers(MOMENT, (h) => h.share?.(e)).reduce((a, b) => a * b, 1);
}

/** What a note adds to its event, in decibels. */
export function noteLevel(n: PitchedNote): number {
  return sum(answers(PITCHED, (h) => h.level?.(n)));
}

/** What a dead note adds to its event, in decibels. */
export function deadLevel(n: DeadNote): number {
  return LEVEL.dead + sum(answers(DEAD, (h) => h.level?.(n)));
}

/** How the string is touched: the note's own way goes before its moment's. */
export function mannerOf(e: PhraseEvent, n: PitchedNote): Manner {
  const [own] = answers(PITCHED, (h) => h.manner?.(n));
  const [moment] = answers(MOMENT, (h) => h.manner?.(e));
  return own ?? moment ?? 'open';
}

/** How the string of a dead note is touched: scraped where it says so, else only struck. */
export function deadManner(n: DeadNote): Manner {
  return answers(DEAD, (h) => h.manner?.(n))[0] ?? 'dead';
}

/** Cents over a note's length from all that moves its pitch, one on top of the other. */
export function ownCurve(
  n: PitchedNote,
  length: Seconds,
  slides: SlideManner,
): readonly PitchPoint[] {
  return answers(PITCHED, (h) => h.curve?.(n, length, slides)).reduce(addCurves, [
    { at: 0, cents: 0 },
  ]);
}

/** What shakes, dips and holds a note, as the fields of its sound. */
export function motionOf(n: PitchedNote, length: Seconds) {
  const [shake] = answers(PITCHED, (h) => h.shake?.(n, length));
  const dips = answers(PITCHED, (h) => h.dip?.(n, length));
  return {
    ...(shake === undefined ? {} : { shake }),
    ...(dips.length === 0 ? {} : { dips }),
    rings: answers(PITCHED, (h) => h.rings?.(n)).some((rings) => rings),
  };
}

import { useCallback, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { whyNot } from '../../core/edit/run';
import { useApp } from '../frame/app-context';
import type { Writer } from '../frame/writing/writer';
import {
  type Called,
  type Corrected,
  callIt,
  correct,
  correctedAnew,
  doAgain,
  goToSound,
  rhythmIsRight,
  type SoundKey,
  soundChosen,
  soundKey,
  takeBack,
  takeOutcome,
  uncorrected,
} from './corrections';
import type { CaughtTake } from './messages';
import { isOneReading } from './tempo-readings';

/** Writes in a phrase that was caught, and calls it something. */
export interface CatchWriter extends Writer {
  readonly callIt: (called: Called) => void;
  /** The rhythm of a sound was unsure and is right. */
  readonly rhythmIsRight: (sound: SoundKey) => void;
}

interface Written {
  readonly take: CaughtTake;
  /** Notes of it that were taken out. */
  readonly out: ReadonlySet<number>;
  readonly all: readonly Corrected[];
}

export interface Now extends Written {
  /** Corrections that have no place in what is written now. */
  readonly lost: number;
  /** How many of them were rhythms that were chosen, or said to be right, in another tempo or metre. */
  readonly rhythms: number;
  /** What was written before they were lost, with the way back from there; null where none are. */
  readonly before: Now | null;
  readonly pointed: Pointed | null;
}

/** The phrase in which the cursor was moved last, or a note of the take that is in none. */
type Pointed = { readonly phrase: number } | { readonly left: number };

export interface Corrections {
  readonly all: readonly Corrected[];
  readonly lost: number;
  readonly rhythms: number;
  readonly writers: readonly CatchWriter[];
  /** The number of the phrase that is being corrected. */
  readonly active: number | null;
  /** The number in the take of the note that the cursor is on. */
  readonly chosen: number | null;
  /** Goes to what a note of the take is written as. @returns the number of its phrase; null where it is left out. */
  readonly point: (note: number | null) => number | null;
  /** What was written before some corrections were lost, brought back; null where none were. */
  readonly back: (() => Pick<Written, 'take' | 'out'>) | null;
  /** What was written then; null where none were lost. */
  readonly lostSince: CaughtTake | null;
}

/**
 * The phrases of a take as they are corrected; what is written anew has its corrections again.
 * @param before As they were corrected before, where they were.
 */
export function useCorrections(
  take: CaughtTake,
  out: ReadonlySet<number>,
  before: readonly Corrected[] | null,
): Corrections {
  const app = useApp();
  const [now, setNow] = useState<Now>(() => {
    const begun = written(take, out);
    return before === null ? begun : { ...begun, all: before };
  });
  let shown = now;
  if (now.take !== take) {
    shown = anew(now, take, out);
    setNow(shown);
  }
  const latest = useRef(shown);
  useLayoutEffect(() => {
    latest.current = shown;
  }, [shown]);
  const put = useCallback((index: number, next: Corrected) => {
    const all = latest.current.all.map((c, i) => (i === index ? next : c));
    latest.current = { ...latest.current, all, pointed: { phrase: index } };
    setNow(latest.current);
  }, []);
  const { all, lost, rhythms, pointed } = shown;
  const made = useRef(new WeakMap<Corrected, CatchWriter>());
  const writers = useMemo(() => {
    const clock = () => Date.parse(app.now());
    // A phrase that was left alone keeps its own: it is not drawn again.
    return all.map((c, i) => {
      const writer = made.current.get(c) ?? writerOf(c, i, latest, put, clock);
      made.current.set(c, writer);
      return writer;
    });
  }, [all, app, put]);
  const point = useCallback((note: number | null) => {
    latest.current = pointedAt(latest.current, note);
    setNow(latest.current);
    const to = latest.current.pointed;
    return to !== null && 'phrase' in to ? to.phrase : null;
  }, []);
  const last = shown.before;
  const back =
    last === null
      ? null
      : () => {
          latest.current = { ...last, pointed: null };
          setNow(latest.current);
          return last;
        };
  const active = pointed !== null && 'phrase' in pointed ? pointed.phrase : null;
  const lostSince = last?.take ?? null;
  return { all, lost, rhythms, writers, active, chosen: chosenIn(shown), point, back, lostSince };
}

/** Writes in the phrase of this number as it is at that moment. */
function writerOf(
  c: Corrected,
  i: number,
  latest: { readonly current: Now },
  put: (index: number, next: Corrected) => void,
  clock: () => number,
): CatchWriter {
  const there = () => latest.current.all[i] ?? c;
  return {
    state: c.state,
    history: c.history,
    told: c.told,
    run: (command, value) => {
      const { next, outcome } = correct(there(), command, value, clock());
      put(i, next);
      return outcome;
    },
    take: (make, note) => {
      const { next, outcome } = takeOutcome(there(), make(there().state), note, clock());
      put(i, next);
      return outcome;
    },
    why: (command, value) => whyNot(there().state, command, value),
    undo: () => put(i, takeBack(there())),
    redo: () => put(i, doAgain(there())),
    callIt: (called) => put(i, callIt(there(), called, clock())),
    rhythmIsRight: (sound) => put(i, rhythmIsRight(there(), sound, clock())),
  };
}

export function written(take: CaughtTake, out: Written['out']): Now {
  const all = take.phrases.map(uncorrected);
  return { take, out, all, lost: 0, rhythms: 0, before: null, pointed: null };
}

/** The same recording written anew, with its corrections; the way back to what was lost stays. */
export function anew(old: Now, take: CaughtTake, out: Written['out']): Now {
  const at = Date.parse(take.phrases[0]?.phrase.meta.created ?? '') || 0;
  const isOne = isOneReading(old.take, take);
  const { all, ...gone } = correctedAnew(old.all, take.phrases, at, isOne);
  // Of a rhythm that is let go in the same reading somebody has chosen the other one again.
  const still = new Set(take.said.otherwise);
  const chosen = isOne ? [] : (old.take.said.otherwise ?? []).filter((key) => !still.has(key));
  const rhythms = gone.rhythms + chosen.length;
  const lost = gone.lost + chosen.length;
  const back =
    lost === 0
      ? { lost: old.lost, rhythms: old.rhythms, before: old.before }
      : { lost, rhythms, before: old };
  const now: Now = { take, out, all, ...back, pointed: null };
  // By what sounds: heard for other strings the notes are others, in another order.
  const pointed = chosenIn(old);
  const heard = pointed === null ? undefined : old.take.notes[pointed];
  const same = heard && take.notes.findIndex((n) => soundKey(n) === soundKey(heard));
  return pointedAt(now, same ?? null);
}

function pointedAt(now: Now, note: number | null): Now {
  const heard = note === null ? undefined : now.take.notes[note];
  if (note === null || heard === undefined) return { ...now, pointed: null };
  for (const [phrase, c] of now.all.entries()) {
    const next = goToSound(c, soundKey(heard));
    if (next === null) continue;
    const all = now.all.map((x, i) => (i === phrase ? next : x));
    return { ...now, all, pointed: { phrase } };
  }
  return { ...now, pointed: { left: note } };
}

/** The number of the note that is pointed at. */
function chosenIn({ take, all, pointed }: Now): number | null {
  if (pointed === null || 'left' in pointed) return pointed?.left ?? null;
  const c = all[pointed.phrase];
  const sound = c === undefined ? null : soundChosen(c);
  const index = take.notes.findIndex((n) => soundKey(n) === sound);
  return index < 0 ? null : index;
}

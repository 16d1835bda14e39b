import { useMemo, useState } from 'react';
import type { HeardNote } from '../../core/heard/types';
import type { NoteDoubt } from '../../io/heard/phrases';
import { type Corrected, type SoundKey, soundKey } from './corrections';
import type { CaughtTake } from './messages';
import { doubtsBySound } from './rhythm-doubts';
import type { Corrections } from './use-corrections';

/** Notes of which the model is less sure than this are asked about. */
export const SURE = 0.67;

export interface Asking {
  /** Sounds of which somebody said that they are right. */
  readonly right: ReadonlySet<SoundKey>;
  /** Notes that were heard unsurely, or of which the rhythm is unsure. */
  readonly unsure: readonly number[];
  /** Of which sounds the rhythm is or was unsure. */
  readonly doubts: ReadonlyMap<SoundKey, NoteDoubt>;
  /** Chooses the next unsure note. @returns the number of its phrase. */
  readonly next: () => number | null;
  /** The chosen note is right: chooses the next unsure one, likewise. */
  readonly isRight: () => number | null;
}

/**
 * Which notes are unsure, and which one is asked about.
 * @param before Sounds that were said to be right before.
 */
export function useAsking(
  take: CaughtTake,
  out: ReadonlySet<number>,
  { all, chosen, point: choose, active, writers }: Corrections,
  before: ReadonlySet<SoundKey>,
): Asking {
  const [right, setRight] = useState(before);
  const corrected = soundsCorrected(all);
  const doubts = useMemo(() => doubtsBySound(take.phrases), [take.phrases]);
  const isUnsure = (n: HeardNote) =>
    n.confidence < SURE || doubts.get(soundKey(n))?.taken === false;
  const unsure = useSameNumbers(
    take.notes.flatMap((n, i) =>
      isUnsure(n) && !out.has(i) && !right.has(soundKey(n)) && !corrected.has(soundKey(n))
        ? [i]
        : [],
    ),
  );
  const next = () => choose(unsure.find((i) => i > (chosen ?? -1)) ?? unsure[0] ?? null);
  const isRight = () => {
    const note = chosen === null ? undefined : take.notes[chosen];
    if (chosen === null || note === undefined) return null;
    const writer = active === null ? undefined : writers[active];
    const ofRhythm = doubts.get(soundKey(note))?.taken === false;
    // A step of the phrase, by which it is asked about no more until that is undone.
    if (ofRhythm) writer?.rhythmIsRight(soundKey(note));
    if (!ofRhythm || note.confidence < SURE) setRight(new Set([...right, soundKey(note)]));
    return choose(unsure.find((i) => i > chosen) ?? unsure.find((i) => i !== chosen) ?? null);
  };
  return { right, unsure, doubts, next, isRight };
}

/** Sounds whose notes were corrected: nobody asks about them any more. */
function soundsCorrected(all: readonly Corrected[]): ReadonlySet<string> {
  return new Set(
    all.flatMap((c) => c.made.slice(0, c.history.done).flatMap((m) => m.flatMap((x) => x.sounds))),
  );
}

/** The list of before while its numbers are the same: what is drawn of it is not drawn again for each key. */
function useSameNumbers(list: readonly number[]): readonly number[] {
  // biome-ignore lint/correctness/useExhaustiveDependencies: the words stand for the list
  return useMemo(() => list, [list.join()]);
}

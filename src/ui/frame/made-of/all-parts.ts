import type { Phrase } from '../../../core/phrase/types';
import { lookAtPart, type PartLook, type PartState, withApart } from './part-looks';

type Source = (id: string) => Phrase | null | undefined;

/** What becomes of the whole and of the sources; `done` says how many parts it was. */
export interface PartsDone {
  readonly whole: Phrase;
  readonly sources: ReadonlyMap<string, Phrase>;
  readonly done: number;
}

/** What can be done with a part that no longer is as it was laid. */
export function canDo({ kind, ...state }: PartState) {
  const changed = kind === 'edited' || kind === 'stuck';
  return {
    takeOver: kind === 'edited',
    apart: changed || kind === 'unsure',
    anew: (kind === 'stuck' || kind === 'unsure') && 'anew' in state && state.anew !== null,
  };
}

/**
 * The sources changed as these parts were, one after the other: the second part of one source is looked at
 * beside what the first has made of it. A part whose source then gives what stands there is as it was laid;
 * one that differs from it is left as it is.
 */
export function takeOver(whole: Phrase, marks: readonly string[], source: Source): PartsDone {
  const sources = new Map<string, Phrase>();
  const now = (id: string) => sources.get(id) ?? source(id);
  let next = whole;
  let done = 0;
  for (const mark of marks) {
    const look = lookAtPart(next, mark, now);
    if (look?.state.kind === 'edited') {
      sources.set(look.state.back.source.id, look.state.back.source);
      next = look.state.back.whole;
      done++;
    } else if (look?.state.kind === 'unsure' && look.state.anew !== null) {
      const same = { ...next, parts: look.state.anew.parts ?? [] };
      if (lookAtPart(same, mark, now)?.state.kind !== 'as laid') continue;
      next = same;
      done++;
    }
  }
  return { whole: next, sources, done };
}

/** These parts as their sources give them now. */
export function layAllAnew(whole: Phrase, marks: readonly string[], source: Source): PartsDone {
  let next = whole;
  let done = 0;
  for (const mark of marks) {
    const state = lookAtPart(next, mark, source)?.state;
    if ((state?.kind !== 'unsure' && state?.kind !== 'stuck') || state.anew === null) continue;
    next = state.anew;
    done++;
  }
  return { whole: next, sources: new Map(), done };
}

/** These parts going their own way from now on, or no longer. */
export function allApart(whole: Phrase, marks: readonly string[], apart: boolean): Phrase {
  return marks.reduce((p, mark) => withApart(p, mark, apart), whole);
}

/** How a list of parts is marked in the whole. */
export const marksOf = (looks: readonly PartLook[]) => looks.map((l) => l.part.notes);

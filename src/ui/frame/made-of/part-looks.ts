import { type PartStands, partsOf } from '../../../core/phrase/parts';
import type { Phrase, PhrasePart } from '../../../core/phrase/types';
import { layAnew } from '../../../core/solo/part-anew';
import { type PartBack, takeBack } from '../../../core/solo/part-back';
import { findPart } from '../../../core/solo/part-now';

/** What can be said of a part beside its source. */
export type PartState =
  | { readonly kind: 'apart' | 'gone' | 'reading' | 'as laid' }
  /** Edited here; the edit can be taken back. */
  | { readonly kind: 'edited'; readonly back: PartBack }
  /**
   * Edited here, or perhaps; why nothing can be taken back, without a full stop. `anew` is the whole with the part
   * laid again from its source, where it can be.
   */
  | { readonly kind: 'stuck' | 'unsure'; readonly why: string; readonly anew: Phrase | null };

export interface PartLook extends PartStands {
  readonly state: PartState;
}

/**
 * Looks at every part of a phrase beside its source.
 * @param source The source by its id: null where it is gone, undefined until it is read.
 */
export function lookAtParts(
  whole: Phrase,
  source: (id: string) => Phrase | null | undefined,
): readonly PartLook[] {
  return partsOf(whole).map((stands) => ({ ...stands, ...lookAt(whole, stands, source) }));
}

/** One of them by its mark, as above; undefined where there is none. */
export function lookAtPart(
  whole: Phrase,
  mark: string,
  source: (id: string) => Phrase | null | undefined,
): PartLook | undefined {
  const stands = partsOf(whole).find((s) => s.part.notes === mark);
  return stands && { ...stands, ...lookAt(whole, stands, source) };
}

function lookAt(
  whole: Phrase,
  { part, ...stands }: PartStands,
  source: (id: string) => Phrase | null | undefined,
): Omit<PartLook, 'part'> {
  if (part.apart) return { ...stands, state: { kind: 'apart' } };
  const from = source(part.source);
  if (from === undefined) return { ...stands, state: { kind: 'reading' } };
  if (from === null) return { ...stands, state: { kind: 'gone' } };
  const found = findPart(whole, part, from);
  if (!found.ok) {
    return {
      ...stands,
      state: { kind: 'unsure', why: whyOf(found), anew: anewOf(whole, part, from) },
    };
  }
  const { firstBar, lastBar, edited } = found.value;
  if (!edited) return { firstBar, lastBar, state: { kind: 'as laid' } };
  const back = takeBack(whole, found.value);
  return back.ok
    ? { firstBar, lastBar, state: { kind: 'edited', back: back.value } }
    : {
        ...{ firstBar, lastBar },
        state: { kind: 'stuck', why: whyOf(back), anew: anewOf(whole, part, from) },
      };
}

function anewOf(whole: Phrase, part: PhrasePart, source: Phrase): Phrase | null {
  const laid = layAnew(whole, part, source);
  return laid.ok ? laid.value : null;
}

function whyOf(r: { readonly problems: readonly { readonly message: string }[] }): string {
  return r.problems[0]?.message ?? 'it is not certain what was changed';
}

/** The phrase with a part, by its mark, that goes its own way from now on, or no longer. */
export function withApart(whole: Phrase, mark: string, apart: boolean): Phrase {
  const parts = (whole.parts ?? []).map((p) => {
    if (p.notes !== mark) return p;
    const { apart: _, ...rest } = p;
    return apart ? { ...rest, apart: true as const } : rest;
  });
  return { ...whole, parts };
}

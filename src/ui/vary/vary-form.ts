import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import { VARIATION_IDS, type VariationId } from '../../core/vary/table';
import { type Varied, varyPhrase } from '../../core/vary/vary';
import type { Query } from '../shared/query';

/** A variation that was gone on from, with which of its results that was, from 1. */
export interface StepTaken {
  readonly id: VariationId;
  readonly pick: number;
}

/** What is chosen on the page; all of it stands in the address. */
export interface VaryForm {
  /** What goes before, one after the other. */
  readonly done: readonly StepTaken[];
  /** The variation whose results are shown; null while none is chosen. */
  readonly how: VariationId | null;
  /** 0 for the best by rule; each further one makes other choices, too. */
  readonly seed: number;
}

/** So many results of a variation are shown. */
export const SHOWN = 4;

const MOST_STEPS = 5;
const LARGEST_SEED = 9_999;

/** Reads the address; what it does not understand counts as not said. */
export function readVaryForm(query: Query): VaryForm {
  const idOf = (text: string) => VARIATION_IDS.find((v) => v === text) ?? null;
  const done = (query.after ?? '').split(',').flatMap((text): StepTaken[] => {
    const [name = '', pick = '1'] = text.split('.');
    const id = idOf(name);
    const n = Number(pick);
    return id === null || !Number.isInteger(n) || n < 1 || n > SHOWN ? [] : [{ id, pick: n }];
  });
  const seed = Number(query.seed ?? 0);
  return {
    done: done.slice(0, MOST_STEPS),
    how: idOf(query.how ?? ''),
    seed: Number.isInteger(seed) && seed >= 0 && seed <= LARGEST_SEED ? seed : 0,
  };
}

/** The form as the address has it. */
export function writeVaryForm({ done, how, seed }: VaryForm): Query {
  return {
    ...(done.length === 0 ? {} : { after: done.map((s) => `${s.id}.${s.pick}`).join(',') }),
    ...(how === null ? {} : { how }),
    ...(seed === 0 ? {} : { seed: String(seed) }),
  };
}

/** The form gone on from one of the results that are shown. */
export function goneOn(form: VaryForm, pick: number): VaryForm {
  const { how, done } = form;
  return how === null ? form : { ...form, done: [...done, { id: how, pick }], how: null };
}

/** Whether one more step can be taken. */
export const canGoOn = (form: VaryForm) => form.done.length < MOST_STEPS;

/** The phrase as the steps before have left it. */
function phraseAfter(p: Phrase, { done, seed }: VaryForm): Result<Phrase> {
  let now = p;
  for (const { id, pick } of done) {
    const made = varyPhrase(now, [id], { seed, count: SHOWN });
    if (!made.ok) return made;
    const varied = made.value[pick - 1];
    if (varied === undefined) return fail({ message: 'there is no such result any more' });
    now = varied.phrase;
  }
  return ok(now);
}

/** What the form asks for. */
export interface VaryMade {
  /** The phrase as the steps before have left it. */
  readonly from: Phrase;
  /** The results; none while no variation is chosen. */
  readonly varied: readonly Varied[];
}

/** What comes of a form: the phrase after its steps, and its variations. */
export function runVary(p: Phrase, form: VaryForm): Result<VaryMade> {
  const from = phraseAfter(p, form);
  if (!from.ok) return from;
  if (form.how === null) return ok({ from: from.value, varied: [] });
  const varied = varyPhrase(from.value, [form.how], { seed: form.seed, count: SHOWN });
  return varied.ok ? ok({ from: from.value, varied: varied.value }) : varied;
}

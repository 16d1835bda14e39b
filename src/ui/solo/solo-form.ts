import { STANDARD_FORMS, standardForm } from '../../core/form/standard';
import type { Form } from '../../core/form/types';
import { formatKey, type Key, parseKey, twelveKeys } from '../../core/theory/key';
import type { Query } from '../shared/query';

/** What is chosen on the page for solos. */
export interface SoloForm {
  readonly form: Form;
  readonly key: Key;
  /** 1 to 5, or null for any. */
  readonly level: number | null;
  /** Whether what accompanies may stand in it. */
  readonly chords: boolean;
  /** 0 for the best chorus; another number draws one. */
  readonly seed: number;
}

const [FIRST] = STANDARD_FORMS as readonly [Form, ...Form[]];

export const LEVELS: readonly number[] = [1, 2, 3, 4, 5];

/** Reads what stands in the address; what makes no sense there counts as not said. */
export function readSoloForm(query: Query): SoloForm {
  const form = standardForm(query.form ?? '') ?? FIRST;
  const key = parseKey(query.key ?? '') ?? { tonic: { letter: 'A', alter: 0 }, mode: form.mode };
  const level = Number(query.level);
  const seed = Number(query.draw);
  return {
    form,
    key: { tonic: key.tonic, mode: form.mode },
    level: LEVELS.includes(level) ? level : null,
    chords: query.with === 'chords',
    seed: Number.isSafeInteger(seed) && seed > 0 ? seed : 0,
  };
}

export function writeSoloForm({ form, key, level, chords, seed }: SoloForm): Query {
  return {
    form: form.id,
    key: tonicOf(key),
    level: level === null ? '' : String(level),
    with: chords ? 'chords' : '',
    draw: seed === 0 ? '' : String(seed),
  };
}

/** The tonics to choose from, in the form's mode, by their names. */
export function tonics({ form, key }: SoloForm): readonly string[] {
  const all = twelveKeys({ tonic: { letter: 'C', alter: 0 }, mode: form.mode }).map(tonicOf);
  const mine = tonicOf(key);
  return all.includes(mine) ? all : [mine, ...all];
}

/** The tonic without the mode. */
export function tonicOf(key: Key): string {
  return formatKey({ ...key, mode: 'major' });
}

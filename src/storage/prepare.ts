import { type AnyKind, check, readyFor, type Thing } from '../io/kinds/kind';
import { inSlices } from './pieces';
import { keyOf } from './record';
import type { Refusal } from './types';
import type { Prepared } from './writes';

export type Invalid = Extract<Refusal, { kind: 'invalid' }>;

/** Checks one whose kind is ready. */
export function prepare(kind: AnyKind, value: unknown): Prepared | Invalid {
  const { id } = kind.identityOf(value);
  const checked = check(kind, value);
  if (!checked.ok) return { kind: 'invalid', id, problems: checked.problems };
  return { kind, key: keyOf(kind, id), id, value, text: checked.value.text };
}

/** Checks all before a transaction begins. */
export async function prepareAll(
  kind: AnyKind,
  values: readonly unknown[],
): Promise<readonly Prepared[] | Invalid> {
  return prepareThings(values.map((value) => ({ kind, value })));
}

/** Checks things of any kind before a transaction begins. */
export async function prepareThings(
  things: readonly Thing[],
): Promise<readonly Prepared[] | Invalid> {
  await readyFor(things.map((t) => t.kind));
  const prepared = await inSlices(things, ({ kind, value }) => prepare(kind, value));
  const bad = prepared.find((p) => 'problems' in p);
  // One that is not invalid is prepared.
  return bad === undefined ? (prepared as Prepared[]) : (bad as Invalid);
}

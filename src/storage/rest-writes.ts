import type { AnyKind } from '../io/kinds/kind';
import type { Records } from './backend';
import type { Named } from './head';
import { inPieces } from './pieces';
import { isRecord } from './record';
import { sealOf } from './seal';
import type { Revision } from './types';
import { nothing, type Written } from './writes';

/*
 * What is written while the page is at rest; like all writes each of these runs inside one transaction
 * and awaits nothing but its records.
 */

/** How long what was removed can be brought back: 30 days, in milliseconds. */
export const REMOVED_KEPT = 30 * 24 * 60 * 60 * 1000;

/**
 * Notes with records that they were checked, as far as they are still in that revision. Nothing else
 * of them changes, so neither the other windows nor the second copy hear of it.
 */
export async function sealRecords(
  records: Records,
  checked: readonly ({
    readonly kind: AnyKind;
    readonly key: string;
    readonly revision: Revision;
  } & Named)[],
): Promise<Written<null>> {
  const found = await inPieces(checked, ({ key }) => records.get(key));
  await inPieces(checked, async ({ kind, key, revision, identity, group }, i) => {
    const r = found[i];
    if (!isRecord(r, key) || r.revision !== revision || r.removed !== undefined) return;
    await records.amend({ ...r, sum: sealOf(kind, key, r.text) }, { identity, group });
  });
  return nothing(null);
}

/** A clock is believed about a time that it was past at two starts so far apart, in ms: 7 days. */
export const BELIEVED_AFTER = 7 * 24 * 60 * 60 * 1000;

/**
 * The time by which to judge what is over. The clock of one start may be wrong by weeks, and nothing
 * that it deletes comes back: so a start only notes when it found something over, and one a week
 * later deletes what was over then, if the clock was never behind that time in between.
 * @param over Whether anything is over by the clock of this start.
 * @returns ms since 1970; null for nothing to be deleted now.
 */
export async function timeToPurge(
  records: Records,
  now: number,
  over: boolean,
): Promise<number | null> {
  const noted = await records.meta('over');
  const since = typeof noted === 'number' ? noted : null;
  if (since === null || since > now) {
    if (over || since !== null) await records.setMeta('over', over ? now : null);
    return null;
  }
  if (!over || now - since < BELIEVED_AFTER) return null;
  await records.setMeta('over', now);
  return since;
}

/** Deletes what was removed and whose time to be restored is over. @returns the keys of what is gone. */
export async function purgeRemoved(
  records: Records,
  keys: readonly string[],
  now: number,
): Promise<Written<readonly string[]>> {
  const found = await inPieces(keys, (k) => records.get(k));
  const old = keys.filter((key, i) => {
    const r = found[i];
    return isRecord(r, key) && r.removed !== undefined && isOver(r.removed, now);
  });
  await inPieces(old, (k) => records.delete(k));
  return { value: old, changes: old.map((key) => ({ kind: 'gone', key })) };
}

/** Whether what was removed at `removed` is no longer kept at `now`, both in ms since 1970. */
export function isOver(removed: number, now: number): boolean {
  return now - removed > REMOVED_KEPT;
}

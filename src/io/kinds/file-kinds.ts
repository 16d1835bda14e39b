import { fingerprint } from '../../core/library/merge';
import type { KeptVersion } from '../../core/library/versions';
import { KEPT_MIGRATIONS } from '../json/versions';
import type { AnyKind, Kind, Thing } from './kind';
import { KINDS } from './kinds';
import { fetchChecks, lateChecks } from './late-checks';

/**
 * Earlier versions of phrases. A library file may hold them; a library keeps them beside its records, since
 * nobody looks for them but from their phrase. They have no id of their own: it is made of all that they
 * say, so that the same version is the same wherever it is found, and `withIdentity` changes nothing.
 */
export const KEPT_VERSIONS: Kind<KeptVersion> = {
  name: 'version',
  noun: 'earlier version',
  versions: KEPT_MIGRATIONS,
  decode: (input) => lateChecks().decodeKept(input),
  ready: fetchChecks,
  onDemand: true,
  identityOf: (kept) => {
    const { id, meta } = kept.phrase;
    const { title, created, modified } = meta;
    return { id: `v-${fingerprint(JSON.stringify(kept))}`, parent: id, title, created, modified };
  },
  withIdentity: (kept) => kept,
};

/** Everything that a library file can hold. */
export const FILE_KINDS: readonly AnyKind[] = [...KINDS, KEPT_VERSIONS];

/** What of some things is an earlier version, and what is none. */
export function versionsAmong<T extends Thing>(
  things: readonly T[],
): readonly [kept: readonly KeptVersion[], others: readonly T[]] {
  // What this kind has read is one.
  const kept = things.flatMap((t) => (t.kind === KEPT_VERSIONS ? [t.value as KeptVersion] : []));
  return kept.length === 0
    ? [kept, things]
    : [kept, things.filter((t) => t.kind !== KEPT_VERSIONS)];
}

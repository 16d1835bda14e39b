import type { AsPlayed } from '../../core/heard/played';
import { fingerprint } from '../../core/library/merge';
import { valueOfKept } from '../../core/library/thinning';
import type { AnyKept, KeptThing, KeptVersion } from '../../core/library/versions';
import { EARLIER_MIGRATIONS, KEPT_MIGRATIONS, PLAYED_MIGRATIONS } from '../json/versions';
import type { AnyKind, Identity, Kind, Thing } from './kind';
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
  identityOf: identityOfKept,
  withIdentity: (kept) => kept,
};

/**
 * The same of all other kinds that keep them. A format of its own: what programs before read of
 * phrases stays as it was.
 */
export const KEPT_THINGS: Kind<KeptThing> = {
  name: 'earlier',
  noun: 'earlier version',
  versions: EARLIER_MIGRATIONS,
  decode: (input) => lateChecks().decodeEarlier(input),
  ready: fetchChecks,
  onDemand: true,
  identityOf: identityOfKept,
  withIdentity: (kept) => kept,
};

function identityOfKept(kept: AnyKept): Identity {
  const { id, meta } = valueOfKept(kept);
  const { title, created, modified } = meta;
  return { id: `v-${fingerprint(JSON.stringify(kept))}`, parent: id, title, created, modified };
}

/**
 * How phrases were played before they were written, by the ids of the phrases. A library keeps it beside its records, with
 * the recordings.
 */
export const PLAYED: Kind<AsPlayed> = {
  name: 'played',
  noun: 'played take',
  versions: PLAYED_MIGRATIONS,
  decode: (input) => lateChecks().decodePlayed(input),
  ready: fetchChecks,
  onDemand: true,
  identityOf: ({ id, kept }) => ({ id, parent: null, title: '', created: kept, modified: kept }),
  withIdentity: (played, { id }) => ({ ...played, id }),
};

/** Everything that a library file can hold. */
export const FILE_KINDS: readonly AnyKind[] = [...KINDS, KEPT_VERSIONS, KEPT_THINGS, PLAYED];

/** An earlier version as a thing of a file. */
function keptAsThing(value: AnyKept): Thing {
  return { kind: value.format === 'degreewise-version' ? KEPT_VERSIONS : KEPT_THINGS, value };
}

/** The kind of what an earlier version is one of. */
export function kindOfKept(kept: AnyKept): AnyKind {
  const { format } = valueOfKept(kept);
  const kind = KINDS.find((k) => k.versions.format === format);
  if (kind === undefined) throw new TypeError(`nothing of the format ${format} is kept`);
  return kind;
}

/** Of things out of a file: what a library keeps beside its records, and what it holds itself. */
export interface Apart<T extends Thing> {
  /** Earlier versions. */
  readonly versions: readonly AnyKept[];
  /** How phrases were played. */
  readonly played: readonly AsPlayed[];
  readonly others: readonly T[];
}

/** Takes apart what a library holds and what it keeps beside. */
export function apartOf<T extends Thing>(things: readonly T[]): Apart<T> {
  const isKept = ({ kind }: Thing) => kind === KEPT_VERSIONS || kind === KEPT_THINGS;
  // What these kinds have read is one.
  const versions = things.flatMap((t) => (isKept(t) ? [t.value as AnyKept] : []));
  const played = things.flatMap(({ kind, value }) => (kind === PLAYED ? [value as AsPlayed] : []));
  if (versions.length + played.length === 0) return { versions, played, others: things };
  return { versions, played, others: things.filter((t) => t.kind !== PLAYED && !isKept(t)) };
}

/** What a library keeps beside its records, as things of a file. */
export function besideAsThings({
  versions,
  played,
}: Omit<Apart<Thing>, 'others'>): readonly Thing[] {
  return [...versions.map(keptAsThing), ...played.map((value) => ({ kind: PLAYED, value }))];
}

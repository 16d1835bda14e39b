import type { AnyKind } from '../../../io/kinds/kind';
import { PHRASES } from '../../../io/kinds/kinds';
import { type Progress, publishTexts } from '../../../publish/publish';
import { keyOf } from '../../../storage/record';
import { playedTexts } from '../../../storage/recordings';
import type { LibraryStore, PhraseEntry } from '../../../storage/types';
import type { VersionsSize } from '../../../storage/versions';
import { blobParts } from '../../shared/blob-parts';
import { countOf } from '../../shared/count-of';
import { count } from '../../shared/words';
import { missingWords } from './write-choice';

/** What is asked for. */
interface ToBackUp {
  readonly phrases: readonly PhraseEntry[];
  readonly others: readonly { readonly kind: AnyKind; readonly id: string }[];
  /** With the earlier versions. */
  readonly withPast: boolean;
  /** How many of those there are; null where they have not been counted. */
  readonly past: VersionsSize | null;
}

/** Keys of everything of which there may be earlier versions. */
export function keysOf(
  phrases: readonly { readonly id: string }[],
  others: ToBackUp['others'],
): ReadonlySet<string> {
  const keys = others.flatMap(({ kind, id }) => (kind.keepsPast === true ? keyOf(kind, id) : []));
  return new Set([...phrases.map((p) => keyOf(PHRASES, p.id)), ...keys]);
}

/** What came of it. */
export interface Backup {
  readonly out: Awaited<ReturnType<typeof publishTexts<Blob>>>;
  /** Everything that could be read, which is then in the file. */
  readonly saved: readonly { readonly kind: AnyKind }[];
  readonly versions: number;
  /** Earlier versions that could not be read. */
  readonly unread: number;
  /** Earlier versions were asked for, and what keeps them did not answer. */
  readonly pastLost: boolean;
  /** Of how many phrases it says how they were played. */
  readonly played: number;
  /** Of how many it could not be read; null where nothing could. */
  readonly unplayed: number | null;
}

/**
 * Everything as one file.
 * @throws Error where nothing more can be read, or it was stopped.
 */
export async function writeBackup(
  store: LibraryStore,
  { phrases, others, withPast, past }: ToBackUp,
  progress: Progress,
): Promise<Backup> {
  // Whoever is quicker than the count gets them all the same.
  const known = keysOf(phrases, others);
  const there = withPast ? (past ?? (await store.versions?.size(known)) ?? null) : null;
  let [versions, unread, played] = [0, 0, 0];
  let unplayed: number | null = 0;
  const saved: { readonly kind: AnyKind }[] = [];
  const texts = async function* () {
    for (const kind of new Set(others.map((o) => o.kind))) {
      const ids = others.flatMap((o) => (o.kind === kind ? [o.id] : [])).sort();
      for await (const some of store.of(kind).texts(ids)) {
        saved.push(...some.map(() => ({ kind })));
        yield some;
      }
    }
    for await (const some of playedOf(phrases)) {
      played += some.texts.length;
      unplayed = some.unread === null || unplayed === null ? null : unplayed + some.unread;
      yield some.texts;
    }
    if (there === null || there.versions === 0 || store.versions === null) return;
    for await (const some of store.versions.texts(known)) {
      versions += some.texts.length;
      unread += some.unread;
      yield some.texts;
    }
  };
  const out = await publishTexts(
    // In the order of their keys, in which reading costs least.
    store.texts(phrases.map((p) => p.id).sort()),
    blobParts(),
    progress,
    texts(),
  );
  const written = Array.from({ length: out.phrases }, () => ({ kind: PHRASES }));
  return {
    ...{ out, saved: [...written, ...saved], versions, unread, played, unplayed },
    pastLost: withPast && there === null,
  };
}

/** How phrases were played; a browser that cannot give it does not keep the rest from being saved. */
async function* playedOf(phrases: ToBackUp['phrases']) {
  try {
    yield* playedTexts(new Set(phrases.map((p) => p.id)));
  } catch {
    yield { texts: [], unread: null };
  }
}

/**
 * What is in a backup, and what is not, in words.
 * @param entries How many there are but for earlier versions.
 */
export function whatIsSaved(
  { saved, versions, unread, pastLost, played, unplayed }: Omit<Backup, 'out'>,
  entries: number,
): string {
  const missing = entries - saved.length;
  const left = [
    ...(missing > 0 ? [missingWords(missing, 'entry', 'entries')] : []),
    ...(unread > 0 ? [missingWords(unread, 'earlier version')] : []),
    ...(unplayed === 0 ? [] : [unplayedWords(unplayed)]),
    ...(pastLost ? ['earlier versions, which this browser does not give now'] : []),
  ];
  const inIt = [
    countOf(saved),
    ...(versions > 0 ? [count(versions, 'earlier version')] : []),
    ...(played > 0
      ? [`how ${count(played, 'phrase')} ${played === 1 ? 'was' : 'were'} played`]
      : []),
  ];
  return `${inIt.join(', ')}.${left.length === 0 ? '' : ` Not in it: ${left.join(', ')}.`}`;
}

function unplayedWords(unread: number | null): string {
  if (unread === null) return 'how phrases were played, which this browser does not give now';
  return `how ${count(unread, 'phrase')} ${unread === 1 ? 'was' : 'were'} played, which cannot be read`;
}

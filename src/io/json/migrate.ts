import { fail, ok, type Problem, type Result } from '../../core/result';

/** A parsed document of some version, before its structure is known. */
export type RawDocument = Readonly<Record<string, unknown>>;

/** One step from the version before `to` to `to`. */
export interface MigrationStep {
  /** The version it makes. */
  readonly to: number;
  /** What changed, for the reader of the code. */
  readonly change: string;
  /**
   * Pure; must not fail on a document that was valid in the version before. Left out where a document stays as it is but for
   * the number of its version.
   */
  migrate?(document: RawDocument): RawDocument;
}

/** How documents of one format come from any version to the newest. */
export interface MigrationSequence {
  readonly format: string;
  readonly steps: readonly MigrationStep[];
  /** The version of the last step; 1 without steps. */
  readonly newest: number;
}

/**
 * @param steps in order, the first one to version 2.
 * @throws RangeError on a gap, so that a forgotten step is found when the program starts.
 */
export function migrationSequence(
  format: string,
  steps: readonly MigrationStep[],
): MigrationSequence {
  steps.forEach((s, i) => {
    if (s.to !== i + 2) {
      throw new RangeError(`${format}: step ${i + 1} makes version ${s.to}, not ${i + 2}`);
    }
  });
  return { format, steps, newest: steps.length + 1 };
}

export type Version =
  | { readonly kind: 'known'; readonly version: number }
  | { readonly kind: 'too new'; readonly version: number }
  | { readonly kind: 'none'; readonly found: unknown };

/** Which version a document says it has. */
export function versionOf(sequence: MigrationSequence, document: RawDocument): Version {
  const found = Object.hasOwn(document, 'version') ? document.version : undefined;
  if (typeof found !== 'number' || !Number.isSafeInteger(found) || found < 1) {
    return { kind: 'none', found };
  }
  return { kind: found > sequence.newest ? 'too new' : 'known', version: found };
}

/**
 * Why a document cannot be read at all, judged by its version alone; null where it can. Asked first,
 * since nothing else that is said about a document of a later version need be true.
 */
export function checkVersion(sequence: MigrationSequence, document: RawDocument): Problem | null {
  const v = versionOf(sequence, document);
  return v.kind === 'known' ? null : versionProblem(sequence, v);
}

/** The document in the newest version; the structure is still to be checked. */
export function migrate(sequence: MigrationSequence, document: RawDocument): Result<RawDocument> {
  const v = versionOf(sequence, document);
  if (v.kind !== 'known') return fail(versionProblem(sequence, v));
  let at = document;
  for (const step of sequence.steps.slice(v.version - 1)) {
    at = { ...(step.migrate?.(at) ?? at), version: step.to };
  }
  return ok(at);
}

function versionProblem(
  sequence: MigrationSequence,
  v: Exclude<Version, { kind: 'known' }>,
): Problem {
  if (v.kind === 'too new') {
    return {
      message: `the file has version ${v.version} of ${sequence.format}, and this program reads up to ${sequence.newest}`,
      fix: 'Open it with a newer release of the program.',
      pointer: '/version',
    };
  }
  return {
    message:
      v.found === undefined
        ? `the file does not say which version of ${sequence.format} it has`
        : 'the version is no whole number from 1 up',
    fix: `Write a version from 1 to ${sequence.newest}.`,
    pointer: '/version',
  };
}

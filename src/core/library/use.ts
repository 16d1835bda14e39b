import { headOf, type RecordBirth, type RecordHead } from '../phrase/record';

/** The version of the stored form that this code writes. */
export const USE_VERSION = 1;

/**
 * That phrases were used on a day: taught, handed out, played. Each is written once and never
 * changed, so that what two libraries know of their uses is all of both. The stored JSON has exactly
 * this shape; its title says what they were used in, such as a lesson, and may be empty.
 */
export interface Use extends RecordHead<'degreewise-use', typeof USE_VERSION> {
  /** The calendar day where it happened: 2026-11-27. */
  readonly day: string;
  /** Ids of the phrases, each once. */
  readonly phrases: readonly string[];
}

/** A use of phrases on a day (`YYYY-MM-DD`, the calendar of the place), not yet stored. */
export function newUse(
  phrases: readonly string[],
  {
    day,
    title = '',
    ...birth
  }: Omit<RecordBirth, 'title'> & {
    readonly day: string;
    readonly title?: string;
  },
): Use {
  return {
    ...headOf('degreewise-use', USE_VERSION, { ...birth, title }),
    day,
    phrases: [...new Set(phrases)],
  };
}

/** The days on which each phrase was used, by id, each day once, the first first. */
export type UseDays = ReadonlyMap<string, readonly string[]>;

export const NO_USES: UseDays = new Map();

/** The days on which each phrase was used, by its id, from all uses of a library. */
export function daysOfUse(uses: Iterable<Use>): UseDays {
  const days = new Map<string, Set<string>>();
  for (const { day, phrases } of uses) {
    for (const id of phrases) {
      const known = days.get(id);
      if (known === undefined) days.set(id, new Set([day]));
      else known.add(day);
    }
  }
  return new Map([...days].map(([id, all]) => [id, [...all].sort()]));
}

/** Whole days from a calendar day to another; negative where the other is earlier. */
export function daysBetween(day: string, later: string): number {
  return Math.round((Date.parse(later) - Date.parse(day)) / 86_400_000);
}

/** Whole days since a phrase was used last, never below 0; endless where it never was. */
export function idleDays(
  { uses, today }: { readonly uses: UseDays; readonly today: string },
  id: string,
): number {
  const last = uses.get(id)?.at(-1);
  return last === undefined ? Number.POSITIVE_INFINITY : Math.max(0, daysBetween(last, today));
}

/** Those of the phrases that were not used on a day so far. */
export function notYetUsed(ids: readonly string[], day: string, days: UseDays): readonly string[] {
  return ids.filter((id) => !(days.get(id)?.includes(day) ?? false));
}

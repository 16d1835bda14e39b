/** What is known of every record besides what it says. */
export interface RecordMeta {
  readonly title: string;
  /** ISO 8601 in UTC. */
  readonly created: string;
  readonly modified: string;
}

/** A title as it is read out; what has none is untitled. */
export const shownTitle = ({ title }: Pick<RecordMeta, 'title'>): string =>
  title.trim() === '' ? 'Untitled' : title;

/** The head that a record of any kind has in its stored JSON. */
export interface RecordHead<Format extends string, Version extends number> {
  readonly format: Format;
  readonly version: Version;
  /** Stable over edits; a copy gets a new one. */
  readonly id: string;
  /** What this one was made from, or null. */
  readonly parent: string | null;
  readonly meta: RecordMeta;
}

/** What makes a record a new one. */
export interface RecordBirth {
  readonly id: string;
  /** ISO 8601 in UTC. */
  readonly now: string;
  readonly title: string;
}

/** The head of a record that was made from nothing. */
export function headOf<Format extends string, Version extends number>(
  format: Format,
  version: Version,
  { id, now, title }: RecordBirth,
): RecordHead<Format, Version> {
  return { format, version, id, parent: null, meta: { title, created: now, modified: now } };
}

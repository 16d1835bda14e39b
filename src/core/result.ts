/**
 * What is wrong with something that came from outside, where it is, and what to do about it.
 * Positions follow the page: bar 0 is the pickup, beats and strings start at 1.
 */
export interface Problem {
  /** One sentence without a full stop: what is wrong. */
  readonly message: string;
  /** One sentence: what the person can do. */
  readonly fix?: string;
  /** JSON pointer (RFC 6901) into the document that was read. */
  readonly pointer?: string;
  /** Line of the text that was read, from 1. */
  readonly line?: number;
  /** Column of the text that was read, from 1. */
  readonly column?: number;
  readonly bar?: number;
  readonly beat?: number;
  /** The beat as a musician says it, where it is no whole one: `2, second eighth`. */
  readonly said?: string;
  readonly string?: number;
  /** The file as a whole is none of those that are read: of it there is no other part to be chosen. */
  readonly foreign?: true;
}

/** Either a value, or the reasons why there is none. Throwing is kept for programmers' errors. */
export type Result<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** A result with a value. */
export function ok<T>(value: T): Result<T> {
  return { ok: true, value };
}

/**
 * A result without one.
 * @param problems At least one: what is wrong and what to do.
 */
export function fail(...problems: readonly Problem[]): Result<never> {
  return { ok: false, problems };
}

/** The problem as one line of plain text: place first, then what is wrong and what to do. */
export function formatProblem(p: Problem): string {
  const place = [
    p.line === undefined ? '' : `line ${p.line}${p.column === undefined ? '' : `:${p.column}`}`,
    p.bar === undefined ? '' : `bar ${p.bar}`,
    p.beat === undefined ? '' : `beat ${p.said ?? formatBeat(p.beat)}`,
    p.string === undefined ? '' : `string ${p.string}`,
    p.pointer === undefined ? '' : `at ${p.pointer === '' ? 'the top' : p.pointer}`,
  ].filter((s) => s !== '');
  const head = place.length === 0 ? '' : `${place.join(', ')}: `;
  return `${head}${p.message}.${p.fix === undefined ? '' : ` ${p.fix}`}`;
}

function formatBeat(beat: number): string {
  return String(Math.round(beat * 1000) / 1000);
}

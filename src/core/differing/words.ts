import type { RecordHead } from '../phrase/record';
import { sameData } from '../phrase/same';

/** A record of any kind. */
export type AnyRecord = RecordHead<string, number>;

/** What is said of something that only one of the two has. */
export interface Sides {
  readonly onlyA: string;
  readonly onlyB: string;
}

/** Of two that stand beside each other. */
export const BESIDE: Sides = { onlyA: 'only in the first', onlyB: 'only in the other' };
/** Of an earlier and a later version. */
export const IN_TIME: Sides = { onlyA: 'taken out', onlyB: 'new' };

/** What is known about what the two name. */
export interface Known {
  readonly sides: Sides;
  /** The title of a phrase by its id; null where it is not known. */
  titleOf(phrase: string): string | null;
}

/** What of a record says nothing about what it holds. */
const APART = new Set(['id', 'format', 'version', 'modified']);

/** The fields in which two records differ, those of `meta` by their own names; empty for equal ones. */
export function differingFields(a: object, b: object): readonly string[] {
  const names = [...new Set([...Object.keys(a), ...Object.keys(b)])];
  return names.flatMap((name) => {
    const [x, y] = [fieldOf(a, name), fieldOf(b, name)];
    if (APART.has(name) || sameData(x, y)) return [];
    return name === 'meta' && isRecord(x) && isRecord(y) ? differingFields(x, y) : [name];
  });
}

/** `tempo (quarter = 90 / quarter = 120)`, the value of the first before that of the other. */
export const both = (what: string, x: string | number, y: string | number): string =>
  `${what} (${x} / ${y})`;

export const quoted = (text: string): string => (text.trim() === '' ? 'untitled' : `'${text}'`);

/** Longer texts are not told, only that they differ. */
const SHORT = 60;

/** Two texts where both are short, else only what differs. */
export function texts(what: string, x: string | undefined, y: string | undefined): string {
  const [p, q] = [x ?? '', y ?? ''];
  if (Math.max(p.length, q.length) > SHORT || /\n/u.test(p + q)) return what;
  const said = (text: string) => (text === '' ? 'none' : `'${text}'`);
  return both(what, said(p), said(q));
}

export function counted(many: number, noun: string): string {
  return `${many} ${noun}${many === 1 ? '' : 's'}`;
}

export function fieldOf(record: object, name: string): unknown {
  return (record as Readonly<Record<string, unknown>>)[name];
}

function isRecord(x: unknown): x is object {
  return typeof x === 'object' && x !== null && !Array.isArray(x);
}

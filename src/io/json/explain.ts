import type * as z from 'zod/mini';
import type { Problem } from '../../core/result';
import { placeOfPath } from './place';
import { pointerTo, valueAt } from './pointer';
import { OR_NULL } from './schema-parts';

type Issue = z.core.$ZodIssue;
type Path = readonly (string | number)[];

/** So many problems of structure are listed at most. */
export const MOST_ISSUES = 100;

/** An issue with the path of the value that was read. */
export interface IssueAt {
  readonly issue: Issue;
  readonly base: Path;
}

/** What the structure check found, in plain words, with pointer, bar, beat and string. */
export function explainIssues(raw: unknown, issues: readonly IssueAt[]): readonly Problem[] {
  const found: Problem[] = [];
  for (const { issue, base } of issues) {
    if (found.length >= MOST_ISSUES) {
      found.push({
        message: `only the first ${MOST_ISSUES} problems are listed`,
        fix: 'Mend these first.',
        pointer: '',
      });
      break;
    }
    explain(raw, issue, base, found);
  }
  return found;
}

function explain(raw: unknown, issue: Issue, base: Path, found: Problem[]): void {
  const path = [...base, ...issue.path.map((k) => (typeof k === 'symbol' ? String(k) : k))];
  if (issue.code === 'invalid_union' && issue.errors.length > 0) {
    for (const inner of likeliest(issue.errors, valueAt(raw, path)))
      explain(raw, inner, path, found);
    return;
  }
  const { message, fix } = wordsFor(issue, valueAt(raw, path), String(path.at(-1) ?? ''));
  found.push({ message, fix, pointer: pointerTo(path), ...placeOfPath(raw, path) });
}

/** The branch of a union that was meant: nearest in length, then with the fewest faults. */
function likeliest(branches: readonly (readonly Issue[])[], value: unknown): readonly Issue[] {
  const length = Array.isArray(value) ? value.length : 0;
  const distance = (b: readonly Issue[]) =>
    b.reduce((sum, i) => {
      if (i.path.length > 0) return sum;
      if (i.code === 'too_big') return sum + length - Number(i.maximum);
      return sum + (i.code === 'too_small' ? Number(i.minimum) - length : 1);
    }, 0);
  return [...branches].sort((a, b) => distance(a) - distance(b) || a.length - b.length)[0] ?? [];
}

interface Words {
  readonly message: string;
  readonly fix: string;
}

function wordsFor(issue: Issue, value: unknown, name: string): Words {
  if (value === undefined && issue.code !== 'unrecognized_keys') {
    const message = /^\d+$/.test(name) ? 'an entry is missing' : `the field '${name}' is missing`;
    return { message, fix: `Add it: ${expectation(issue)}.` };
  }
  switch (issue.code) {
    case 'unrecognized_keys':
      return {
        message: `there is no field ${issue.keys.slice(0, 3).map(quote).join(', ')}${issue.keys.length > 3 ? ` and ${issue.keys.length - 3} more` : ''} here`,
        fix: 'Remove it, or check its spelling and its place.',
      };
    case 'invalid_type':
    case 'invalid_value':
    case 'invalid_union':
      return {
        message: `${shown(value)} is not allowed here`,
        fix: `Write ${expectation(issue)}.`,
      };
    case 'too_small':
    case 'too_big':
      return outOfRange(issue, value);
    case 'not_multiple_of':
      return {
        message: `${shown(value)} is not a multiple of ${issue.divisor}`,
        fix: `Use a multiple of ${issue.divisor}.`,
      };
    case 'invalid_format':
      return { message: `${shown(value)} does not have the right form`, fix: formOf(name) };
    default:
      return { message: `${shown(value)} is not allowed here`, fix: 'Compare with the schema.' };
  }
}

/** What would be right, as the end of a sentence. */
function expectation(issue: Issue): string {
  if (issue.code === 'invalid_value') {
    const list = issue.values.map((v) => (typeof v === 'string' ? quote(v) : String(v)));
    return list.length === 1 ? list[0]! : `one of ${list.join(', ')}`;
  }
  if (issue.code === 'invalid_union' && 'options' in issue && Array.isArray(issue.options)) {
    return `one of ${issue.options.map((o) => quote(String(o))).join(', ')}`;
  }
  const kind = (issue.code === 'invalid_type' ? KINDS.get(issue.expected) : undefined) ?? ANYTHING;
  return issue.message === OR_NULL ? `${kind} ${OR_NULL}` : kind;
}

/** The schema has no place that ends here; a later one may. */
const ANYTHING = 'what the schema says';

const KINDS: ReadonlyMap<string, string> = new Map([
  ['string', 'a text'],
  ['number', 'a number'],
  ['int', 'a whole number'],
  ['boolean', 'true or false'],
  ['array', 'a list'],
  ['tuple', 'a list'],
  ['object', 'an object'],
]);

function outOfRange(
  issue: Extract<Issue, { code: 'too_small' | 'too_big' }>,
  value: unknown,
): Words {
  const bound =
    issue.code === 'too_small' ? `at least ${issue.minimum}` : `at most ${issue.maximum}`;
  if (issue.origin === 'array') {
    const length = Array.isArray(value) ? value.length : 0;
    return { message: `the list has ${length} entries`, fix: `It needs ${bound}.` };
  }
  if (issue.origin === 'string') {
    const length = typeof value === 'string' ? value.length : 0;
    return { message: `the text has ${length} characters`, fix: `It needs ${bound}.` };
  }
  return { message: `${shown(value)} is out of range`, fix: `It must be ${bound}.` };
}

function formOf(name: string): string {
  if (name === 'created' || name === 'modified') return 'Write it like 2026-01-31T12:00:00Z.';
  if (name === 'day' || name === 'begun') return 'Write a calendar day, like 2026-01-31.';
  return 'Use printable ASCII characters without spaces, 1 to 200 of them.';
}

function shown(value: unknown): string {
  if (typeof value === 'string') return quote(value);
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object' && value !== null) return 'an object';
  return String(value);
}

function quote(text: string): string {
  return `'${text.length > 40 ? `${text.slice(0, 40)}…` : text}'`;
}

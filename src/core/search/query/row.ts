import type { Problem } from '../../result';
import { type Degree, parseDegree } from '../../theory/degree';
import { problemAt } from './scan';
import { TECHNIQUE_NAMES, type TechniqueName } from './technique-names';
import type { RowStep } from './types';

/** A degree as it stands in a row, with nothing of a word behind it. */
const DEGREE = /(?:bb|##|♭♭|♯♯|𝄫|𝄪|b|#|♭|♯)?(?:R|9|11|13|[1-7])(?![\p{L}\p{N}:/.'’])/uy;
const TURN = /[<>↑↓]/uy;

/** A step of a row, or the gap before one. */
export type RowPart = RowStep | 'gap';

/**
 * Reads a word as part of a row: `5`, `>b7`, `?`, `..`, `b7+bend`, or several joined: `5-6-b7`.
 * @param at Where the word begins in the whole text.
 * @returns the parts; null where it is another word; or what is wrong with one that is meant so.
 */
export function readRowWord(word: string, at: number): readonly RowPart[] | Problem | null {
  const parts: RowPart[] = [];
  let i = 0;
  for (;;) {
    const gap = take(/\.\.|…/uy, word, i);
    if (gap !== null) {
      parts.push('gap');
      i += gap.length;
    } else {
      const step = readStep(word, i, at);
      if (step === null) return null;
      if ('message' in step) return step;
      parts.push(step.step);
      i = step.end;
    }
    if (i === word.length) return parts;
    const joint = take(/[-–]/uy, word, i);
    if (joint === null) return null;
    i += joint.length;
  }
}

function readStep(
  word: string,
  from: number,
  at: number,
): { readonly step: RowStep; readonly end: number } | Problem | null {
  const turn = take(TURN, word, from);
  let i = from + (turn?.length ?? 0);
  const name = take(DEGREE, word, i);
  const any = name === null ? take(/\?/uy, word, i) : null;
  if (name === null && any === null) return null;
  i += (name ?? any)!.length;
  const degree: Degree | null = name === null ? null : parseDegree(name);
  if (name !== null && degree === null) return null;
  const techniques: TechniqueName[] = [];
  while (word[i] === '+') {
    const rest = word.slice(i + 1);
    const found = longestOf(rest);
    if (found === null) {
      const given = /^[^+]*/u.exec(rest)![0];
      return problemAt(
        at + i + 1,
        given === '' ? 'a technique is missing after +' : `'${given}' is no technique`,
        `Use one of ${TECHNIQUE_NAMES.join(', ')}.`,
      );
    }
    if (!techniques.includes(found)) techniques.push(found);
    i += 1 + found.length;
  }
  techniques.sort((a, b) => TECHNIQUE_NAMES.indexOf(a) - TECHNIQUE_NAMES.indexOf(b));
  return { step: { degree, turn: turnOf(turn), gap: false, techniques }, end: i };
}

function longestOf(rest: string): TechniqueName | null {
  let found: TechniqueName | null = null;
  for (const name of TECHNIQUE_NAMES) {
    const next = rest[name.length];
    const ends = next === undefined || next === '+' || next === '-' || next === '–';
    if (rest.startsWith(name) && ends && name.length > (found?.length ?? 0)) found = name;
  }
  return found;
}

function turnOf(sign: string | null): RowStep['turn'] {
  if (sign === null) return null;
  return sign === '>' || sign === '↑' ? 'up' : 'down';
}

function take(pattern: RegExp, text: string, at: number): string | null {
  pattern.lastIndex = at;
  return pattern.exec(text)?.[0] ?? null;
}

/** A part of a row with its place, for what is wrong with the row as a whole. */
export interface PlacedPart {
  readonly part: RowPart;
  readonly at: number;
}

/** Puts gaps into the steps behind them; a row neither begins nor ends with one. */
export function joinRow(parts: readonly PlacedPart[]): readonly [RowStep, ...RowStep[]] | Problem {
  const steps: RowStep[] = [];
  let gap: number | null = null;
  for (const { part, at } of parts) {
    if (part === 'gap') {
      if (steps.length === 0) {
        return problemAt(at, 'a row of degrees cannot begin with ..', 'Begin with a degree, or ?.');
      }
      gap = at;
      continue;
    }
    if (steps.length === 0 && part.turn !== null) {
      return problemAt(
        at,
        'the first degree of a row has none before it to be higher or lower than',
        'Leave the sign away, or begin with ? for any note.',
      );
    }
    steps.push({ ...part, gap: gap !== null });
    gap = null;
  }
  const [first, ...rest] = steps;
  if (gap !== null || first === undefined) {
    return problemAt(
      gap ?? parts[0]?.at ?? 0,
      'a row of degrees cannot end with ..',
      'Write the degree that follows, or ?.',
    );
  }
  return [first, ...rest];
}

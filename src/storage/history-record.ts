import type { Patch } from '../core/edit/reconcile';
import type { Cell, Selection } from '../core/edit/state';
import type { History, Step } from '../core/edit/steps';
import { fingerprintOfData } from '../core/phrase/fingerprint';

/** One step as it is kept. */
export interface StepRecord {
  readonly phraseId: string;
  readonly number: number;
  readonly step: Step;
  /** Fingerprint of the step: a step that was damaged would damage the phrase. */
  readonly sum: number;
}

/** What holds the steps of a phrase together. */
export interface HeadRecord {
  readonly phraseId: string;
  /** A new one with each write. */
  readonly token: string;
  /** Number of the first step; the others follow without a gap. */
  readonly first: number;
  /** How many steps are in the phrase. */
  readonly done: number;
  /** Fingerprint of the phrase before the first step and after each; null where it is not known. */
  readonly prints: readonly (number | null)[];
}

/**
 * Checks what was read from the disk.
 * @param records Of one phrase, in the order of their numbers.
 * @returns null unless every part is as it was written, and nothing is missing or left over.
 */
export function stepsIn(
  head: unknown,
  records: readonly unknown[],
): { readonly head: HeadRecord; readonly steps: readonly Step[] } | null {
  if (!isHead(head) || records.length !== head.prints.length - 1) return null;
  const steps: Step[] = [];
  for (const [i, record] of records.entries()) {
    if (!isObject(record) || record.number !== head.first + i) return null;
    const { step, sum } = record;
    if (!isStep(step) || fingerprintOfData(step) !== sum) return null;
    steps.push(step);
  }
  return { head, steps };
}

/** Whether something is what was done to a phrase. */
export function isHistory(x: unknown): x is Fields & History {
  return isObject(x) && isListOf(x.steps, isStep) && isCount(x.done) && x.done <= x.steps.length;
}

type Fields = { readonly [key: string]: unknown };

function isHead(x: unknown): x is Fields & HeadRecord {
  return (
    isObject(x) &&
    typeof x.phraseId === 'string' &&
    typeof x.token === 'string' &&
    isCount(x.first) &&
    isCount(x.done) &&
    isListOf(x.prints, (p): p is number | null => p === null || isCount(p)) &&
    x.done < x.prints.length
  );
}

function isStep(x: unknown): x is Fields & Step {
  return (
    isObject(x) &&
    typeof x.command === 'string' &&
    typeof x.label === 'string' &&
    isListOf(x.patches, isPatch) &&
    isListOf(x.inverse, isPatch) &&
    isSelection(x.before) &&
    isSelection(x.after) &&
    typeof x.at === 'number'
  );
}

function isPatch(x: unknown): x is Fields & Patch {
  return (
    isObject(x) &&
    (x.op === 'add' || x.op === 'replace' || x.op === 'remove') &&
    isListOf(x.path, (p): p is string | number => typeof p === 'string' || isCount(p))
  );
}

function isSelection(x: unknown): x is Fields & Selection {
  return (
    isObject(x) &&
    (x.voice === 0 || x.voice === 1) &&
    isCell(x.cursor) &&
    (x.corner === null || isCell(x.corner)) &&
    isListOf(x.fresh, (id): id is string => typeof id === 'string') &&
    typeof x.typed === 'string'
  );
}

function isCell(x: unknown): x is Fields & Cell {
  return isObject(x) && isCount(x.onset) && isCount(x.string);
}

function isCount(x: unknown): x is number {
  return typeof x === 'number' && Number.isSafeInteger(x) && x >= 0;
}

function isListOf<T>(x: unknown, is: (entry: unknown) => entry is T): x is readonly T[] {
  return Array.isArray(x) && x.every(is);
}

function isObject(x: unknown): x is Fields {
  return typeof x === 'object' && x !== null;
}

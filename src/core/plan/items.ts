import { phraseOf } from '../lesson/sheets';
import { type ItemOfPhrase, type Lesson, speaksOfPhrase } from '../lesson/types';
import type { Phrase } from '../phrase/types';

/** Something of a lesson that is practised. */
export interface PlanItem {
  /** Names it in the log. */
  readonly key: string;
  readonly item: ItemOfPhrase;
  readonly phrase: Phrase;
}

/** What of a lesson is played, in its order, each once; what is only looked at is no practice. */
export function planItems(lesson: Pick<Lesson, 'phrases' | 'items'>): readonly PlanItem[] {
  const all = new Map<string, PlanItem>();
  for (const item of lesson.items) {
    if (!speaksOfPhrase(item) || item.kind === 'neck') continue;
    const key = keyOfItem(item);
    if (!all.has(key)) all.set(key, { key, item, phrase: phraseOf(lesson, item) });
  }
  return [...all.values()];
}

/**
 * Names an item in a log by what is practised: the ids of items are used again when one was taken out,
 * and would give its log to another.
 */
export function keyOfItem(item: ItemOfPhrase): string {
  const head = `${item.kind} ${item.phrase}`;
  switch (item.kind) {
    case 'pair': {
      const { kind, text, way, octave, hand } = item.move;
      // What is left to the program is not said.
      return [head, kind, text, way, octave, hand].filter((x) => x !== undefined).join(' ');
    }
    case 'rounds':
      return item.cycle.kind === 'list'
        ? `${head} list ${item.cycle.text}`
        : `${head} ${item.cycle.kind}`;
    case 'gaps':
      return `${head} ${item.every}`;
    case 'degrees':
      return `${head} ${item.from}`;
    default:
      return head;
  }
}

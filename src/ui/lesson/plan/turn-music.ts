import { gapsAsked, sheetsOf } from '../../../core/lesson/sheets';
import type { DegreesItem, Lesson } from '../../../core/lesson/types';
import type { Phrase } from '../../../core/phrase/types';
import type { PlanItem } from '../../../core/plan/items';
import type { StepTake } from '../../../core/plan/ladder';
import type { Cycle } from '../../../core/practice/types';
import { problemText } from '../../shared/words';

/** What is read and heard in a turn. */
export interface TurnMusic {
  readonly printed: Phrase;
  /** Where something is to be found out: what the page shows once it has been. */
  readonly answer: Phrase | null;
  readonly heard: Phrase;
  /** Where the rounds of an exercise lead. */
  readonly cycle: Cycle;
  /** After each round a gap as long, in which it is answered. */
  readonly gap: boolean;
  /** What the degrees count from that the student is to name; null where none are asked. */
  readonly asked: DegreesItem['from'] | null;
  /** Where moments are missing that the student is to fill in; null where none are. */
  readonly missing: string | null;
  /** Why it is not what the lesson means; null where it is. */
  readonly trouble: string | null;
}

/** The music of an item at a step. */
export function turnMusic(lesson: Lesson, { item, phrase }: PlanItem, at: StepTake): TurnMusic {
  const plain: TurnMusic = {
    printed: at.take.phrase,
    answer: null,
    heard: at.take.phrase,
    cycle: { kind: 'same' },
    gap: false,
    asked: null,
    missing: null,
    trouble: null,
  };
  const sheets = sheetsOf(lesson, item);
  if (!sheets.ok) {
    return { ...plain, printed: phrase, trouble: problemText(sheets.problems[0]!) };
  }
  const sheet = sheets.value.at(-1);
  switch (item.kind) {
    case 'pair':
      return sheet === undefined ? plain : { ...plain, printed: sheet.printed, heard: sheet.heard };
    case 'rounds':
      return { ...plain, cycle: item.cycle };
    case 'gaps':
      return sheet === undefined
        ? plain
        : { ...plain, printed: sheet.printed, answer: phrase, missing: gapsAsked(sheet) };
    case 'degrees':
      return { ...plain, answer: phrase, asked: item.from };
    case 'answer':
      return { ...plain, printed: sheet?.printed ?? phrase, gap: true };
    default:
      return plain;
  }
}

import type { EasierWay, HardSpot } from '../../core/ease/types';
import type { DifficultyStep } from '../../core/neck/difficulty';
import { placeWords } from '../../core/phrase/time-words';
import type { Phrase } from '../../core/phrase/types';

/** The five steps of difficulty in words. */
export const STEP_WORDS: Readonly<Record<DifficultyStep, string>> = {
  1: 'lies under the hand',
  2: 'easy',
  3: 'the hand has to move',
  4: 'hard',
  5: 'very hard',
};

/** `Bar 3, beat 2 and`; beats of the pickup count from its end (T2). */
export function spotPlace(p: Phrase, { onset }: Pick<HardSpot, 'onset'>): string {
  const place = placeWords(p, onset);
  return place.charAt(0).toUpperCase() + place.slice(1);
}

const LEFT_OUT = ' is left out';

/** What an easier way keeps, and what it does not: a part of a sentence. */
export function keptText({ kept, changes }: EasierWay): string {
  // That a note is left out is what the way itself says.
  const told = changes.filter((c) => !c.endsWith(LEFT_OUT));
  if (told.length > 0) return told.join('; ');
  if (!kept.notes) return 'the rest stays';
  return kept.roles ? 'every pitch and role stays' : 'every pitch stays';
}

/** `effort 8.3 to 4, step 3 to 1`; where the picking hand alone has less to do, its strokes. */
export function gainText({ cost, pace, step }: EasierWay): string {
  const parts = [
    ...(tenth(cost.before) === tenth(cost.after)
      ? []
      : [`effort ${tenth(cost.before)} to ${tenth(cost.after)}`]),
    ...(pace.after < pace.before && tenth(pace.after) !== tenth(pace.before)
      ? [`${tenth(pace.before)} to ${tenth(pace.after)} strokes a second`]
      : []),
    step.before === step.after
      ? `still step ${step.after}`
      : `step ${step.before} to ${step.after}`,
  ];
  return parts.join(', ');
}

function tenth(n: number): string {
  return (Math.round(n * 10) / 10).toString().replace('-', '−');
}

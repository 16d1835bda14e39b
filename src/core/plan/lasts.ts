import { meterTicks } from '../phrase/time';
import { goalsOf } from '../practice/takes';
import { secondsPerTick } from '../sound/perform';
import { playedTicks, unfold } from '../sound/unfold';
import type { PlanItem } from './items';
import type { Turn } from './types';

/*
 * How long a turn takes. Nobody can know; what is said is what the music lasts, played as often as one practises
 * it, times how long this student's turns have taken beside that so far.
 */

/** Times that a phrase is played in a turn, about, and seconds to read and to think. */
const TIMES = 4;
const PAUSE = 20;

/** Seconds of a turn at a tempo, about: a bar counted in, a few times through, and a pause. */
export function secondsOfTurn({ item, phrase }: PlanItem, speed: number): number {
  const perTick = secondsPerTick(phrase.tempo, speed / 100);
  const once = playedTicks(unfold(phrase)) * perTick;
  const counted = meterTicks(phrase.bars[0]!.meter) * perTick;
  if (item.kind === 'rounds') {
    const goals = goalsOf(phrase, item.cycle);
    return PAUSE + counted + once * (goals.ok ? goals.value.length : TIMES);
  }
  // An answer is as long as what it answers.
  const round = item.kind === 'answer' ? 2 * once : once;
  return PAUSE + counted + TIMES * round;
}

/** Two turns of a day that lie further apart were not one sitting, in seconds; what is nearer was only tapped. */
const BREAK = 15 * 60;
const TAPPED = 5;
/** So many turns tell something; of more the last ones do. */
const FEW = 5;
const LATEST = 40;
const PACE = { least: 0.5, most: 3 } as const;

/**
 * How long turns have taken beside what is reckoned: the median of the last ones, between a half and three
 * times; 1 before there are five. From one turn to the next of a sitting, as the log has their moments.
 * @param turns Of one log, in any order.
 */
export function paceOf(items: readonly PlanItem[], turns: readonly Turn[]): number {
  const byKey = new Map(items.map((i) => [i.key, i]));
  const sorted = [...turns].sort((a, b) => (a.meta.created < b.meta.created ? -1 : 1));
  const ratios: number[] = [];
  for (let i = sorted.length - 1; i > 0 && ratios.length < LATEST; i--) {
    const [before, turn] = [sorted[i - 1]!, sorted[i]!];
    const item = byKey.get(turn.item);
    const took = (Date.parse(turn.meta.created) - Date.parse(before.meta.created)) / 1000;
    if (item === undefined || turn.day !== before.day || took < TAPPED || took > BREAK) continue;
    ratios.push(took / secondsOfTurn(item, turn.speed));
  }
  if (ratios.length < FEW) return 1;
  const middle = ratios.sort((a, b) => a - b)[ratios.length >> 1]!;
  return Math.min(PACE.most, Math.max(PACE.least, middle));
}

import type { Phrase } from '../../../core/phrase/types';
import { LONGEST_GAP, type Standing } from '../../../core/plan/due';
import { ladderOf, placeAfter, placeOfTurn } from '../../../core/plan/ladder';
import type { Day, Plan, PlanStep, Turn, Went } from '../../../core/plan/types';
import type { Cycle } from '../../../core/practice/types';
import { typesetText } from '../../../io/text/signs';
import { count, dayName, tempoName } from '../../shared/words';

export const WENT_WORDS: Readonly<Record<Went, string>> = {
  'not yet': 'Not yet',
  nearly: 'Nearly',
  sits: 'It sits',
};

/** What each does to the tempo. */
export const WENT_MEANS: Readonly<Record<Went, string>> = {
  'not yet': 'one step back',
  nearly: 'the same again',
  sits: 'one step on',
};

export function planTitle({ meta, student }: Pick<Plan, 'meta' | 'student'>): string {
  const title = meta.title.trim() === '' ? 'Untitled' : meta.title;
  return student === undefined ? title : `${title}, ${student}`;
}

/** `in B♭ blues`, `over IV7`; empty where it stays as it is written. */
export function placeWords({ goal }: Pick<PlanStep, 'goal'>): string {
  if (goal === null) return '';
  const text = typesetText(goal.text);
  return goal.kind === 'key' ? `in ${text}` : `over ${text}`;
}

/** `80 %, in B♭ blues`. */
export function stepWords(step: PlanStep): string {
  const place = placeWords(step);
  return place === '' ? `${step.speed} %` : `${step.speed} %, ${place}`;
}

/** `80 % (quarter = 74)`. */
export function tempoWords({ tempo }: Phrase, speed: number): string {
  return `${speed} % (${tempoName({ ...tempo, bpm: Math.round((tempo.bpm * speed) / 100) })})`;
}

/** The step of a turn that was taken. */
export const stepOfTurn = ({ speed, goal }: Turn): PlanStep => ({ speed, goal: goal ?? null });

/** The step that comes next, without a look at the neck. */
export function stepAhead(plan: Plan, { item, turns }: Standing): PlanStep {
  const ladder = ladderOf(item, plan);
  const last = turns.at(-1);
  const place = last === undefined ? 0 : placeAfter(ladder, placeOfTurn(ladder, last), last.went);
  return ladder[place]!;
}

/** Why an item is practised today. */
export function whyWords(standing: Standing, today: Day): string {
  const last = standing.turns.at(-1);
  if (last === undefined) return 'New.';
  const day = last.day === today ? 'today' : `on ${dayName(last.day)}`;
  return `Last time, ${day}: ${WENT_WORDS[last.went].toLowerCase()}.`;
}

/** When an item comes next. */
export function dueWords({ due, turns }: Standing, today: Day): string {
  if (due <= today) return turns.length === 0 ? 'today, new' : 'today';
  return `next on ${dayName(due)}`;
}

export const KEY_WORDS: Readonly<Record<Cycle['kind'], string>> = {
  same: 'as they are written',
  fourths: 'every key, by fourths',
  semitones: 'every key, by semitones',
  list: 'these chords or keys',
};

/** How a plan works, in sentences. */
export function lawWords({ tempo, fresh }: Plan): string {
  return `An item begins at ${tempo.from} % of its tempo. When it sits it goes one step on, ${tempo.by} % faster up to ${tempo.to} %, then into the next key; when it does not come yet, one step back. The next day it comes again; each time it sits the days between double, up to ${LONGEST_GAP}, and “nearly” halves them. ${count(fresh, 'new item')} a day.`;
}

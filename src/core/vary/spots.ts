import { endOf } from '../phrase/walk';
import { degreeSign } from '../theory/degree';
import { degreeOfTone, type Tone, type Work } from './line';

/** Some of the notes that a variation could take. */
export interface Spots {
  readonly tones: readonly Tone[];
  /** Which, in words that follow on: 'on the beat'. */
  readonly where: string;
  readonly worth: number;
}

/**
 * Which of the notes that could be taken are taken: those on the beat, those that weigh most, all;
 * with a seed first a choice of its own. A player colours what weighs and leaves the rest alone.
 */
export function spotsOf(work: Work, could: readonly Tone[]): readonly Spots[] {
  const found: Spots[] = [];
  const add = (tones: readonly Tone[], where: string, worth: number) => {
    const key = (list: readonly Tone[]) => list.map((t) => t.note.id).join();
    if (tones.length > 0 && !found.some((f) => key(f.tones) === key(tones)))
      found.push({ tones, where, worth });
  };
  if (work.dice.seed !== 0) add(work.dice.some(could), 'here and there', 4);
  add(
    could.filter((t) => t.weight > 0),
    'on the beat',
    3,
  );
  add(
    could.filter((t) => t.arrives || t.weight >= 2),
    'where the bar or the chord begins',
    2,
  );
  add(could, 'wherever it fits', could.length > 6 ? 1 : 2.5);
  const longest = [...could].sort((a, b) => b.event.duration - a.event.duration)[0];
  if (longest !== undefined) add([longest], 'on the longest note only', 1.5);
  return found;
}

/** No two in a row: the one that weighs more, then the longer, goes first. */
export function spread(tones: readonly Tone[]): readonly Tone[] {
  const byWeight = [...tones].sort(
    (a, b) =>
      b.weight - a.weight || b.event.duration - a.event.duration || a.event.onset - b.event.onset,
  );
  const taken: Tone[] = [];
  for (const t of byWeight) if (taken.every((x) => Math.abs(x.index - t.index) > 1)) taken.push(t);
  return taken.sort((a, b) => a.index - b.index);
}

/** Degrees of notes in words: 'on 3, 5 and R'; each once, in the order they come. */
export function degreesSaid(tones: readonly Tone[]): string {
  return listed(unique(tones.map((t) => degreeSign(degreeOfTone(t)))));
}

/** Each value once, where it came first. */
export function unique<T>(list: readonly T[]): readonly T[] {
  return [...new Set(list)];
}

/** 'a', 'a and b', 'a, b and c'. */
export function listed(words: readonly string[]): string {
  const last = words.at(-1) ?? '';
  return words.length < 2 ? last : `${words.slice(0, -1).join(', ')} and ${last}`;
}

/** Silence before an event, up to the event before or the beginning. */
export function restBefore(work: Work, index: number): number {
  const events = work.phrase.voices[0].events;
  const before = events[index - 1];
  return events[index]!.onset - (before === undefined ? 0 : endOf(before));
}

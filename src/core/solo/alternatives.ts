import { joinWords } from '../joins/words';
import type { Phrase } from '../phrase/types';
import { ok, type Result } from '../result';
import { bestFirst, type Offer } from './best-first';
import type { Chosen } from './chosen';
import { phrasePins } from './pins';
import { Placer } from './placer';
import { seekerOf, whyAfter } from './propose';
import { featuresOf } from './scores';
import type { SoloTask } from './types';

/** What could stand in a place, the best first. */
export interface Alternative {
  readonly index: number;
  readonly phrase: Phrase;
  /** Bars from 0. */
  readonly start: number;
  readonly end: number;
  readonly octaves: number;
  /** As it would be played there. */
  readonly moved: Phrase;
  /** Parts of a sentence. */
  readonly why: readonly string[];
}

/** Bars from 0, the end not included. */
export interface Place {
  readonly start: number;
  readonly end: number;
}

const USUAL_COUNT = 6;

/**
 * What could stand in a place while everything that is pinned stays: each phrase once, in its best
 * octave, by the best way through the form that has it there. What is shorter than the place leaves
 * room behind it.
 * @param place Nothing may be pinned there.
 * @returns At most `count`, all of them playable; or why there is none.
 */
export function alternatives(
  task: SoloTask,
  place: Place,
  count = USUAL_COUNT,
  placer = new Placer(task.form, task.phrases),
): Result<readonly Alternative[]> {
  const found = seekerOf(task, placer);
  if (!found.ok) return found;
  const seeker = found.value;
  const ranked = [...seeker.ranked((c) => c.start === place.start && c.end <= place.end)];
  // What stands elsewhere as often as it may comes last.
  const often = (index: number) =>
    phrasePins(task.options).filter((p) => p.index === index).length >= seeker.most ? 1 : 0;
  ranked.sort((a, b) => often(a.candidate.index) - often(b.candidate.index));
  const offers = ranked.map(({ candidate }, k): Offer<Chosen> => {
    const { index } = candidate;
    // What is ranked before it goes before it, whatever it is worth.
    const most = -k;
    const open = () => {
      const chosen = seeker.chosen(candidate);
      return chosen.ok ? [{ index, most, value: chosen.value }] : [];
    };
    return { index, most, open };
  });
  const all = bestFirst(offers, count).values.map((chosen): Alternative => {
    const { candidate } = chosen;
    const { before, after } = seeker.pinnedAround(candidate);
    const placed = seeker.placedAfter(before, chosen);
    const earlier = before === null ? null : seeker.pinnedAround(before.candidate).before;
    const ahead = after === null ? null : featuresOf(candidate, after.candidate, before?.candidate);
    const leads = ahead === null ? [] : joinWords(ahead, before !== null).slice(0, 1);
    const { index, start, end, octaves } = candidate;
    return {
      index,
      phrase: task.phrases[index]!,
      start,
      end,
      octaves,
      moved: placed.phrase,
      why: [...whyAfter(task, before, placed, earlier), ...leads.map((w) => `what follows ${w}`)],
    };
  });
  return ok(all);
}

import type { Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { fail, ok, type Problem, type Result } from '../result';
import { Dice } from './dice';
import { workOn } from './line';
import { effortOf, placeDraft } from './place';
import { reportOf, type VaryReport } from './report';
import { type VariationId, variationOf } from './table';

/** A variation of a phrase. */
export interface Varied {
  readonly phrase: Phrase;
  /** Why this one, a sentence part for each variation in the chain, in a player's words. */
  readonly reasons: readonly string[];
  readonly report: VaryReport;
  /** What ranks it: what a player would choose first, less what it costs the hand. */
  readonly worth: number;
}

export interface VaryOptions {
  /** 0: what is best by rule first. Any other number also makes choices of its own, the same each time. */
  readonly seed?: number;
  /** At most so many results, the best first; 3 when absent. */
  readonly count?: number;
}

/** Results of each variation that the next one goes on from. */
const GO_ON = 3;

/**
 * Varies a phrase by one variation or several joined, each of which goes on from what the one before
 * has made. Every result is valid, playable where the original is, and keeps the chord lane, key,
 * instrument and tempo; no two have the same notes at the same places.
 * @param how One at least, a handful at most.
 * @returns the results ranked, the best first; or in words why there are none.
 */
export function varyPhrase(
  p: Phrase,
  how: readonly VariationId[],
  { seed = 0, count = 3 }: VaryOptions = {},
): Result<readonly Varied[]> {
  let made: readonly Step[] = [{ phrase: p, reasons: [], gaveWay: [], worth: 0 }];
  for (const [i, id] of how.entries()) {
    const most = i === how.length - 1 ? count : Math.min(GO_ON, Math.max(1, count));
    const next = made.map((m) => varyOnce(m, id, seed));
    const found = next.flatMap((n) => (n.ok ? n.value : []));
    if (found.length === 0) {
      const said = next.flatMap((n) => (n.ok ? [] : n.problems)).slice(0, 1);
      return fail(...said.map((x) => (how.length === 1 ? x : inChain(x, i, id))));
    }
    made = ranked(p, found).slice(0, most);
  }
  return ok(
    made.map(({ phrase, reasons, gaveWay, worth }) => ({
      phrase,
      reasons,
      worth,
      report: reportOf(p, phrase, gaveWay),
    })),
  );
}

interface Step {
  readonly phrase: Phrase;
  readonly reasons: readonly string[];
  readonly gaveWay: readonly string[];
  readonly worth: number;
}

/** How much of a hand's effort weighs as much as one choice: a shift of the whole hand, about. */
const EFFORT = 0.12;

function varyOnce(from: Step, id: VariationId, seed: number): Result<readonly Step[]> {
  const { phrase } = from;
  const work = workOn(phrase, new Dice(seed));
  if (work.line.length === 0) return fail({ message: 'there is no note with a pitch in it' });
  const offer = variationOf(id).offer(work);
  if (typeof offer === 'string') return fail({ message: offer });
  const before = effortOf(phrase);
  const same = contentKey(phrase);
  let asItIs = 0;
  const steps = offer.flatMap((draft): Step[] => {
    const placed = placeDraft(phrase, draft);
    if (placed === null) return [];
    if (contentKey(placed.phrase) === same) {
      asItIs += 1;
      return [];
    }
    const after = effortOf(placed.phrase);
    const harder = before === null || after === null ? 0 : Math.max(0, after - before);
    const lost = placed.gaveWay.length * 0.5;
    return [
      {
        phrase: placed.phrase,
        reasons: [...from.reasons, draft.reason],
        gaveWay: [...from.gaveWay, ...placed.gaveWay],
        worth: from.worth + draft.worth - EFFORT * Math.sqrt(harder) - lost,
      },
    ];
  });
  if (steps.length > 0) return ok(steps);
  const isSo = asItIs > 0 && asItIs === offer.length;
  return fail({ message: isSo ? 'it is so already' : 'no such change of it can be played' });
}

function ranked(p: Phrase, steps: readonly Step[]): readonly Step[] {
  const seen = new Set([contentKey(p)]);
  return [...steps]
    .sort((a, b) => b.worth - a.worth)
    .filter((s) => {
      const key = contentKey(s.phrase);
      if (seen.has(key)) return false;
      seen.add(key);
      return true;
    });
}

/** What is played: two phrases of one key sound and look alike. */
function contentKey(p: Phrase): string {
  const notes = notesOf(p).map(({ note, event }) => {
    const { id: _, ...what } = note;
    return [event.onset, event.duration, event.graces, what];
  });
  return JSON.stringify([p.feel, p.bars, p.length, notes]);
}

function inChain(x: Problem, i: number, id: VariationId): Problem {
  return { ...x, message: `variation ${i + 1} (${id}): ${x.message}` };
}

import { playElsewhere } from '../neck/apply';
import { findPositions } from '../neck/areas';
import { type DifficultyStep, type Load, loadOf } from '../neck/difficulty';
import { indexFingerFret } from '../neck/positions';
import type { Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { bendWays } from './bend-ways';
import { differenceOf, movedNotes, placesSaid } from './changes';
import { pairWays } from './pair-ways';
import { placeWays } from './place-ways';
import { type Placed, placeEasier } from './placed';
import { hardSpots, type Spot } from './spots';
import { strikeWays } from './strike-ways';
import type { EasierKind, EasierWay, HardSpot, Proposal } from './types';

/** A hard spot with the ways round it, the gentlest change first; none where nothing is easier. */
export interface SpotWays {
  readonly spot: HardSpot;
  readonly ways: readonly EasierWay[];
}

/** What is hard in a phrase where it lies, and what would be easier. */
export interface Playability {
  readonly step: DifficultyStep;
  readonly cost: number;
  readonly pace: number;
  /** The hardest first. */
  readonly spots: readonly SpotWays[];
  /** The whole phrase at other places, the easiest first. */
  readonly elsewhere: readonly EasierWay[];
  /** Nothing more is sought. */
  readonly done: boolean;
}

/** Ways offered for one spot, and of one kind among them. */
const MOST_WAYS = 5;
const MOST_OF_A_KIND: Readonly<Record<EasierKind, number>> = {
  place: 2,
  strike: 2,
  bend: 4,
  pair: 2,
  fewer: 2,
};
const MOST_PLACES = 2;

/**
 * What is hard in a phrase and why, with easier ways to play it. Every way is valid, breaks no hard
 * rule, keeps chord lane, key, instrument and tempo, and is easier on the scale of difficulty as the
 * same cost model reckons it, by the weights of the phrase as it is. What a way does not keep it says.
 * Null for a phrase without notes, or one whose places break a hard rule.
 */
export function playabilityOf(p: Phrase): Playability | null {
  let last: Playability | null = null;
  for (const so of playabilityInSteps(p)) last = so;
  return last;
}

/**
 * The same as far as it is known, after every step of the work, so that a page can draw between: first
 * what is hard, then the ways round one spot after the other, then other places for the whole phrase.
 */
export function* playabilityInSteps(p: Phrase): Generator<Playability> {
  const load = loadOf(p);
  if (load === null) return;
  const { step, cost, pace } = load;
  const found = hardSpots(p, load);
  const spots = found.map(({ moments: _, ...spot }): SpotWays => ({ spot, ways: [] }));
  const seen = new Set([contentOf(p)]);
  let so: Playability = { step, cost, pace, spots, elsewhere: [], done: false };
  yield so;
  for (const [i, spot] of found.entries()) {
    const ways = chosen(p, waysRound(p, load, spot), seen);
    const told = so.spots.map((s, k) => (k === i ? { ...s, ways } : s));
    so = { ...so, spots: told };
    yield so;
  }
  yield { ...so, elsewhere: placesFor(p, load, seen), done: true };
}

function waysRound(p: Phrase, load: Load, spot: Spot): readonly EasierWay[] {
  const { problem } = load;
  const proposals: readonly Proposal[] = [
    ...placeWays(p, problem, spot),
    ...strikeWays(p, problem, spot),
    ...bendWays(p, problem, spot),
    ...pairWays(p, problem, spot),
  ];
  const quick = spot.parts.includes('pace');
  const { style } = problem;
  return proposals.flatMap((it) => {
    const placed = placeEasier(p, it, style, (after) => isEasier(load, after, quick));
    return placed === null ? [] : [wayOf(p, load, it, placed)];
  });
}

/** So much less effort of the hand is easier; less than that nobody feels. */
const FELT = 0.3;

/**
 * Whether a phrase is easier: less on the scale of difficulty, and less for the hand.
 * @param quick It is the picking hand that has too much to do: it gets less, the other no more.
 */
function isEasier(before: Load, after: Load, quick: boolean): boolean {
  return after.score < before.score && after.cost <= before.cost - (quick ? 0 : FELT);
}

function wayOf(
  p: Phrase,
  before: Load,
  { kind, what }: Pick<Proposal, 'kind' | 'what'>,
  { phrase, load }: Placed,
): EasierWay {
  return {
    kind,
    what: what ?? placesSaid(p, phrase),
    phrase,
    ...differenceOf(p, phrase),
    cost: { before: before.cost, after: load.cost },
    pace: { before: before.pace, after: load.pace },
    step: { before: before.step, after: load.step },
  };
}

/** How much of the phrase gives way: 0 the same is heard with the same roles, 3 a note is missing. */
function givesUp({ kept }: EasierWay): number {
  if (!kept.notes) return 3;
  if (!kept.pitches) return 2;
  return kept.times && kept.roles ? 0 : 1;
}

/** What it costs a player, in effort, to find a note of the phrase at another place than before (as in `vary`). */
const MOVED = 0.4;

/** The best few, each once over all spots: what changes least first, then what eases most. */
function chosen(p: Phrase, ways: readonly EasierWay[], seen: Set<string>): readonly EasierWay[] {
  const price = new Map(
    ways.map((w) => [w, w.cost.after + MOVED * movedNotes(p, w.phrase)] as const),
  );
  const sorted = [...ways].sort((a, b) => givesUp(a) - givesUp(b) || price.get(a)! - price.get(b)!);
  const taken: EasierWay[] = [];
  for (const w of sorted) {
    const key = contentOf(w.phrase);
    const alike = taken.filter((t) => t.kind === w.kind);
    if (taken.length >= MOST_WAYS || alike.length >= MOST_OF_A_KIND[w.kind]) continue;
    // A slide that is no easier than the hammer-on adds nothing.
    const same = w.kind === 'strike' && alike.some((t) => t.cost.after <= w.cost.after);
    if (same || seen.has(key)) continue;
    seen.add(key);
    taken.push(w);
  }
  return taken;
}

/** The other areas of the neck that are easier for the whole phrase. */
function placesFor(p: Phrase, load: Load, seen: ReadonlySet<string>): readonly EasierWay[] {
  const found: EasierWay[] = [];
  for (const f of findPositions(p, { count: MOST_PLACES + 1 })) {
    const phrase = playElsewhere(p, f);
    if (seen.has(contentOf(phrase))) continue;
    const what = `the whole phrase around fret ${indexFingerFret(phrase)}`;
    const { style } = load.problem;
    const proposal: Proposal = { kind: 'place', what, phrase, free: null };
    const placed = placeEasier(p, proposal, style, (after) => isEasier(load, after, false));
    if (placed !== null && found.every((w) => w.what !== what))
      found.push(wayOf(p, load, proposal, placed));
  }
  return found.slice(0, MOST_PLACES);
}

/** What is played: two phrases with one content are the same way. */
function contentOf(p: Phrase): string {
  return JSON.stringify(
    notesOf(p).map(({ note, event }) => [event.onset, event.duration, event.graces, note]),
  );
}

import type { Phrase } from '../phrase/types';
import { techniqueOf } from '../technique/table';
import { choicesFor, defaultWay } from './goal';
import { movePhraseOn } from './move';
import {
  HAND_WAYS,
  type HandWay,
  type MoveRequest,
  type Obstacle,
  type OctaveChoice,
  type Without,
} from './request';

/** Another wish that can be kept as it stands, where this one could not (M7). */
export type WayOut =
  | { readonly kind: 'without'; readonly sign: Without; readonly text: string }
  | { readonly kind: 'octave'; readonly octave: OctaveChoice; readonly text: string }
  | { readonly kind: 'hand'; readonly hand: HandWay; readonly text: string };

/**
 * Ways out of a wish that could not be kept: without the one sign that is in the way, the other
 * octave, another way of the hand. Each is tried, and only those that are kept as they stand and lead
 * to something else than is there are offered. Costs a move for each.
 * @param requests The moves as they were asked, joined.
 * @param obstacles What stood in the way, by the report; empty where the move was refused.
 */
export function waysOut(
  p: Phrase,
  requests: readonly MoveRequest[],
  obstacles: readonly Obstacle[],
): readonly WayOut[] {
  const now = movePhraseOn(p, requests);
  const had = now.ok ? [musicOf(now.value.phrase)] : [];
  return candidates(p, requests, obstacles).filter((out) => {
    const tried = movePhraseOn(p, withWayOut(requests, out));
    if (!tried.ok || tried.value.report.obstacles.length > 0) return false;
    const music = musicOf(tried.value.phrase);
    if (had.includes(music)) return false;
    had.push(music);
    return true;
  });
}

/** What sounds and where it lies: two ways that lead to the same are one. */
function musicOf({ voices }: Phrase): string {
  return JSON.stringify(voices);
}

/** The moves with a way out taken. */
export function withWayOut(requests: readonly MoveRequest[], out: WayOut): readonly MoveRequest[] {
  return requests.map((r, i): MoveRequest => {
    const last = i === requests.length - 1;
    if (out.kind === 'without') {
      return i > 0 ? r : { ...r, without: [...(r.without ?? []), out.sign] };
    }
    if (out.kind === 'hand') return last ? { ...r, hand: out.hand } : r;
    return last ? { ...r, octave: out.octave } : r;
  });
}

function candidates(
  p: Phrase,
  requests: readonly MoveRequest[],
  obstacles: readonly Obstacle[],
): readonly WayOut[] {
  const last = requests.at(-1);
  if (last === undefined) return [];
  const signs = obstacles.flatMap((o): WayOut[] => {
    const [id] = o.ids;
    if (o.technique === null || id === undefined) return [];
    const text = `as it was asked, without the ${techniqueOf(o.technique).word} in the way`;
    return [{ kind: 'without', sign: { id, technique: o.technique }, text }];
  });
  const choices = choicesFor(last.to, last.way ?? defaultWay(last.to), p.key);
  const octaves = choices.octaves.flatMap((octave): WayOut[] =>
    octave === 'nearest' || octave === last.octave
      ? []
      : [{ kind: 'octave', octave, text: octave === 'up' ? 'higher' : 'lower' }],
  );
  const now = requests.flatMap((r) => r.hand ?? []).at(-1) ?? 'shape';
  const hands = HAND_WAYS.flatMap((hand): WayOut[] =>
    hand === now || choices.hands.length === 0 ? [] : [{ kind: 'hand', hand, text: HANDS[hand] }],
  );
  // One sign alone: with two in the way neither would help.
  return [...(signs.length === 1 ? signs : []), ...octaves, ...hands];
}

const HANDS: Readonly<Record<HandWay, string>> = {
  shape: 'with the shape kept on the same strings',
  strings: 'on the neighbouring strings',
  area: 'in the area of the hand, on other strings',
};

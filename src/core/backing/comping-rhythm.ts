import { dice } from './dice';
import { type Beat, beatsOf, momentOf, type Place } from './grid';
import type { BackingFeel, BackingForm, BandMoment, FormBar } from './types';

/** A stroke of the comping before its chord is known. */
export interface CompStroke extends BandMoment {
  readonly stroke: 'down' | 'up';
  /** On the last half of a beat, tied over: it may be the next chord, if that comes with the next beat. */
  readonly push: boolean;
}

interface Hit {
  readonly place: Place;
  readonly stroke: 'down' | 'up';
  readonly level: number;
  /** Beats it is held at most; what follows damps it. */
  readonly held: number;
  readonly push?: true;
}

type Cells = readonly [readonly Hit[], readonly Hit[], readonly Hit[], readonly Hit[]];

const down = (held: number, level = 0): Hit => ({ place: 'on', stroke: 'down', held, level });
const up = (held: number, level = -2): Hit => ({ place: 'and', stroke: 'up', held, level });
const push = (held: number, level = 0): Hit => ({
  place: 'and',
  stroke: 'up',
  held,
  level,
  push: true,
});
const third = (held: number, level: number): Hit => ({ place: 'third', stroke: 'up', held, level });

const LONG = 4;

/** Patterns of each feel with how often they are thrown, bar by bar (common practice; the figures are ours). */
const PATTERNS: Readonly<Record<BackingFeel, readonly (readonly [number, Cells])[]>> = {
  straight: [
    [4, [[down(1, 1)], [down(0.5), up(0.5)], [up(0.5, -1)], [down(0.5), up(0.5)]]],
    [3, [[down(1.5, 1)], [up(0.5)], [down(1)], [down(0.5), up(0.5)]]],
    [2, [[down(2, 1)], [], [down(1), up(0.5)], [down(0.5), up(0.5)]]],
  ],
  rock: [
    [
      4,
      [
        [down(0.9, 2), up(0.4)],
        [down(0.4), up(0.4)],
        [down(0.9, 1), up(0.4)],
        [down(0.4), up(0.4)],
      ],
    ],
    [3, [[down(1.4, 2)], [up(0.5, 0)], [down(1.9, 1)], []]],
    [2, [[down(1.9, 2)], [], [up(0.5, 0)], [down(0.9)]]],
  ],
  shuffle: [
    [4, [[], [down(0.35, 1)], [], [down(0.35, 1)]]],
    [3, [[down(0.5)], [up(0.3, 0)], [], [down(0.35), up(0.3)]]],
    [2, [[], [down(0.35, 1), up(0.3)], [], [down(0.35, 1), up(0.3)]]],
  ],
  'twelve-eight': [
    [
      4,
      [
        [down(0.9, 1)],
        [down(0.3), third(0.3, -3), up(0.3, -2)],
        [down(0.9)],
        [down(0.3), third(0.3, -3), up(0.3, -2)],
      ],
    ],
    [3, [[], [down(0.6, 1)], [], [down(0.6, 1)]]],
    [2, [[down(1.8)], [up(0.3)], [down(1.8)], [up(0.3)]]],
  ],
  swing: [
    [4, [[down(1.4)], [up(0.35, 0)], [], []]],
    [3, [[], [down(0.4)], [], [down(0.4), push(1.2)]]],
    [3, [[up(0.4, 0)], [], [up(0.4, 0)], []]],
    [2, [[down(0.5)], [], [down(0.5)], [push(1)]]],
    [2, [[down(0.4, -2)], [down(0.4)], [down(0.4, -2)], [down(0.4)]]],
  ],
  bossa: [
    [4, [[down(1)], [up(0.5)], [up(0.9, -1)], [push(1)]]],
    [3, [[down(0.9)], [down(0.45), up(0.9)], [up(0.5)], [down(0.9)]]],
    [3, [[down(0.9)], [up(1)], [down(0.5)], [up(0.5)]]],
  ],
  ballad: [
    [4, [[down(LONG)], [], [], []]],
    [3, [[down(2)], [], [down(2, -1)], []]],
    [2, [[down(2)], [], [down(1, -1)], [up(0.5, -3)]]],
  ],
};

/** The bar after which every other bar is the same again: two bars are a phrase of a rhythm guitar. */
const PAIR = 2;

/** Every stroke of the comping over a form, without its chords. */
export function compStrokes(
  form: BackingForm,
  feel: BackingFeel,
  seed: number,
): readonly CompStroke[] {
  const out: CompStroke[] = [];
  const bars = form.bars.filter((b) => b.number > 0);
  bars.forEach((bar, i) => {
    const cells = thrown(feel, seed, bars, i);
    for (const beat of beatsOf(bar)) {
      for (const hit of cells[beat.cell]) {
        const moment = momentOf(beat, hit.place);
        if (moment === null || moment.at >= bar.end) continue;
        const end = Math.min(form.length, Math.round(moment.at + hit.held * (beat.end - beat.at)));
        const push = hit.push === true;
        out.push({ ...moment, end, level: hit.level, stroke: hit.stroke, push });
      }
    }
  });
  return out.sort((a, b) => a.at - b.at);
}

/** A bar's pattern: one throw for a section's pairs of bars, another for the bar that closes it. */
function thrown(feel: BackingFeel, seed: number, bars: readonly FormBar[], i: number): Cells {
  const list = PATTERNS[feel];
  const pair = Math.floor(i / (2 * PAIR));
  const place = bars[i]!.closes ? i : -1 - 2 * pair - (i % PAIR);
  let rest = dice(seed, 'comping', place) * list.reduce((sum, [w]) => sum + w, 0);
  for (const [weight, cells] of list) {
    rest -= weight;
    if (rest < 0) return cells;
  }
  return list[0]![1];
}

/** The beat that a moment lies in; null outside the bars that are counted. */
export function beatAt(beats: readonly Beat[], at: number): Beat | null {
  return beats.find((b) => b.at <= at && at < b.end) ?? null;
}

import { text } from 'node:stream/consumers';
import { fillSlots } from '../../src/core/joins/fill';
import { join } from '../../src/core/joins/join';
import { sketchOf } from '../../src/core/joins/sketch';
import { TICKS_PER_QUARTER } from '../../src/core/phrase/types';

/**
 * Ranks what could follow: tasks as JSON on the standard input, rankings by the program's own join
 * cost on the standard output, beside the smallest interval. `npx tsx tests/scripts/rank-joins.ts < TASKS`
 *
 * In: `{ unit, tasks: [{ id, earlier, before, candidates }], paths: [{ id, before, slots, after }] }`;
 * a phrase is a list of `[onset, length, MIDI]`, `unit` of them a quarter (48 where it is not said).
 * Out: `{ rankings: [{ id, order }], paths: [{ id, choice }], smallestInterval: [{ id, order }] }`.
 */
type Row = readonly [number, number, number];
interface Tasks {
  readonly unit?: number;
  readonly tasks?: readonly {
    readonly id: string;
    readonly earlier?: readonly Row[] | null;
    readonly before: readonly Row[];
    readonly candidates: readonly (readonly Row[])[];
  }[];
  readonly paths?: readonly {
    readonly id: string;
    readonly before: readonly Row[];
    readonly slots: readonly (readonly (readonly Row[])[])[];
    readonly after: readonly Row[] | null;
  }[];
}

const { unit = 48, tasks = [], paths = [] } = JSON.parse(await text(process.stdin)) as Tasks;

const sketch = (rows: readonly Row[]) =>
  sketchOf(
    rows.map(([onset, length, midi]) => ({
      onset: (onset * TICKS_PER_QUARTER) / unit,
      duration: (length * TICKS_PER_QUARTER) / unit,
      midi,
    })),
  );

/** Indices, the largest first; equal ones in their order. */
const byScore = (scores: readonly number[]) =>
  scores.map((_, i) => i).sort((i, j) => scores[j]! - scores[i]! || i - j);

const rankings = tasks.map((t) => {
  const before = sketch(t.before);
  const earlier = (t.earlier?.length ?? 0) > 2 ? sketch(t.earlier!) : null;
  return { id: t.id, order: byScore(t.candidates.map((c) => join(before, sketch(c), 0, earlier))) };
});

const smallestInterval = tasks.map((t) => ({
  id: t.id,
  order: byScore(t.candidates.map((c) => -Math.abs(c[0]![2] - t.before.at(-1)![2]))),
}));

const filled = paths.map((p) => ({
  id: p.id,
  choice: fillSlots(
    sketch(p.before),
    p.slots.map((s) => s.map(sketch)),
    p.after === null ? null : sketch(p.after),
  ),
}));

process.stdout.write(JSON.stringify({ rankings, paths: filled, smallestInterval }));

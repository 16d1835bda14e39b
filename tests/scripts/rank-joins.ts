import { text } from 'node:stream/consumers';
import { fillSlots } from '../../src/core/joins/fill';
import { join } from '../../src/core/joins/join';
import { sketchOf } from '../../src/core/joins/sketch';
import {
  looseness,
  type Standing,
  shortRestScore,
  standingOf,
  standingScore,
} from '../../src/core/joins/standing';
import { TICKS_PER_QUARTER } from '../../src/core/phrase/types';
import { parseChord } from '../../src/core/theory/chord-text';
import type { ChordSpan } from '../../src/core/understand/owner';
import { type Row, readJoinTasks } from '../support/join-tasks';

/**
 * Ranks what could follow: tasks as JSON on the standard input, rankings by the program's own join
 * cost on the standard output, beside the smallest interval. `npx tsx tests/scripts/rank-joins.ts < TASKS`
 *
 * In: `{ unit, tasks: [{ id, lane, earlier, before, candidates }], paths: [{ id, before, slots, after }] }`;
 * a phrase is a list of `[onset, length, MIDI]`, `unit` of them a quarter (48 where it is not said), and a bar of 4/4
 * begins at 0; the lane is a list of `[quarter, chord symbol]`, and may be left out. What cannot be read is refused with its place and exit code 1.
 * Out: `{ rankings: [{ id, order }], paths: [{ id, choice }], smallestInterval: [{ id, order }] }`.
 */
const given = readJoinTasks(await text(process.stdin));
if (typeof given === 'string') {
  process.stderr.write(`rank-joins: ${given}\n`);
  process.exit(1);
}
const unit = given.unit ?? 48;
const tasks = given.tasks ?? [];
const paths = given.paths ?? [];

const line = (rows: readonly Row[]) =>
  rows.map(([onset, length, midi]) => ({
    onset: (onset * TICKS_PER_QUARTER) / unit,
    duration: (length * TICKS_PER_QUARTER) / unit,
    midi,
  }));

const sketch = (rows: readonly Row[]) => sketchOf(line(rows));

/** How phrases stand over a lane. */
function standingOver(lane: readonly (readonly [number, string])[]) {
  const spans = lane.map(([quarter, symbol], index): ChordSpan => {
    const chord = parseChord(symbol);
    return {
      index,
      onset: quarter * TICKS_PER_QUARTER,
      end: (lane[index + 1]?.[0] ?? Number.POSITIVE_INFINITY) * TICKS_PER_QUARTER,
      chord: chord.ok ? chord.value : null,
    };
  });
  const ground = { spans, meter: { beats: 4, beatType: 4 }, bar: 0 } as const;
  return (rows: readonly Row[]): Standing => standingOf(line(rows), ground);
}

const quarters = (time: number) => time / unit;
/** A last note counts with four quarters at most, as long notes of the tables do. */
const restBetween = ([onset, length]: Row, [next]: Row) =>
  quarters(next - onset) - Math.min(quarters(length), 4);

/** Indices, the largest first; equal ones in their order. */
const byScore = (scores: readonly number[]) =>
  scores.map((_, i) => i).sort((i, j) => scores[j]! - scores[i]! || i - j);

const rankings = tasks.map((t) => {
  const before = sketch(t.before);
  const earlier = (t.earlier?.length ?? 0) > 2 ? sketch(t.earlier!) : null;
  const stand = standingOver(t.lane ?? []);
  const stood = stand(t.before);
  const all = t.candidates.map(stand);
  const loose = looseness(all);
  const scores = t.candidates.map(
    (c, i) =>
      join(before, sketch(c), 0, earlier) +
      standingScore(stood, all[i]!, loose) +
      shortRestScore(restBetween(t.before.at(-1)!, c[0]!)),
  );
  return { id: t.id, order: byScore(scores) };
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
    p.after ? sketch(p.after) : null,
  ),
}));

process.stdout.write(JSON.stringify({ rankings, paths: filled, smallestInterval }));

import { findAreas } from '../../src/core/neck/areas';
import { crossingCost, hurryFactor } from '../../src/core/neck/costs';
import { gripsFor } from '../../src/core/neck/grips';
import { DEFAULT_LIMITS } from '../../src/core/neck/limits';
import type { FingeringProblem } from '../../src/core/neck/problem';
import { problemOf } from '../../src/core/neck/problem-of';
import { findFingerings } from '../../src/core/neck/solve';
import { WEIGHTS } from '../../src/core/neck/weights';
import { STANDARD_GUITAR } from '../../src/core/phrase/instrument';
import { build } from '../support/build';
import { Dice } from '../support/generate/dice';

/**
 * How long fingering takes and how it grows. Run with `npx tsx tests/bench/fingering.ts`. Times
 * depend on the machine; the ratios do not much. Goals: under 10 µs a note for a single-note line,
 * growth near 1 from 1,000 to 10,000 notes.
 */
function main(): void {
  const small = shortest(() => findFingerings(line(1_000), { style: 'lead' }), 40);
  const large = shortest(() => findFingerings(line(10_000), { style: 'lead' }), 10);
  report('single-note line, 1,000 notes', small / 1_000);
  report('single-note line, 10,000 notes', large / 10_000);
  console.log(`growth, time(10,000) / time(1,000) / 10: ${(large / small / 10).toFixed(2)}`);
  const naive = shortest(() => naiveCost(line(1_000)), 5);
  report('the same by a plain dynamic program over states, 1,000 notes', naive / 1_000);
  console.log(`ratio plain / ours: ${(naive / small).toFixed(1)}`);
  const ours = findFingerings(line(1_000), { style: 'lead' })[0]!.cost;
  const theirs = naiveCost(line(1_000));
  if (Math.abs(ours - theirs) > 1e-6) throw new Error(`costs differ: ${ours} and ${theirs}`);

  for (const count of [64, 128, 256]) {
    const eight = shortest(() => findFingerings(line(count), { count: 8 }), 30);
    console.log(`${count} notes, eight best: ${eight.toFixed(2)} ms (goal for 64: 20)`);
  }
  areasByProcessor();

  const drone = problemOf(overDrone(1_000));
  report(
    'line over a drone, 1,000 notes',
    shortest(() => findFingerings(drone, { style: 'lead' }), 7) / 1_000,
  );
  const phrase = build('e 3/5 3/7(h) 2/5 2/8(bend:A4) 2/5 3/7 3/5(p) 4/7 '.repeat(4));
  const milliseconds = shortest(() => findFingerings(problemOf(phrase), { style: 'lead' }), 50);
  console.log(`a phrase of four bars, from phrase to fingering: ${milliseconds.toFixed(2)} ms`);
  const three = shortest(() => findAreas(problemOf(phrase), { style: 'lead', count: 3 }), 9);
  console.log(`its three areas: ${three.toFixed(1)} ms`);
}

/**
 * Eight areas of five lines of each length: median and least processor time of 50 runs, beside a
 * fixed loop measured by turns with them. The machine's other work disturbs processor time less than
 * the clock, and the ratio to the loop least.
 */
function areasByProcessor(): void {
  for (let i = 0; i < 30; i++) findAreas(line(64, i), { count: 8 });
  for (const count of [16, 32, 64, 128, 256]) {
    const lines = [1, 2, 3, 4, 5].map((seed) => line(count, seed));
    const ours: number[] = [];
    const loop: number[] = [];
    for (let i = 0; i < 50; i++) {
      ours.push(processorTime(() => findAreas(lines[i % 5]!, { count: 8 })));
      loop.push(processorTime(fixedLoop));
    }
    const [median, loopMedian] = [ours, loop]
      .map((x) => x.sort((a, b) => a - b))
      .map((x) => x[25]!);
    console.log(
      `${count} notes, eight areas: median ${median!.toFixed(1)} ms, least ${ours[0]!.toFixed(1)} ms; ` +
        `${(median! / loopMedian!).toFixed(1)} times a loop of ${loopMedian!.toFixed(2)} ms; ${((1_000 * median!) / count).toFixed(0)} µs a note`,
    );
  }
}

/** Milliseconds of the processor, all threads of this process together. */
function processorTime(run: () => unknown): number {
  const from = process.cpuUsage();
  run();
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1_000;
}

/** The same work each time. */
function fixedLoop(): number {
  const a = new Float64Array(2_048);
  for (let k = 0; k < 400; k++)
    for (let i = 1; i < a.length; i++) a[i] = Math.min(a[i]! + 1, a[i - 1]! * 0.5 + i);
  return a[5]!;
}

function report(what: string, milliseconds: number): void {
  console.log(`${what}: ${(milliseconds * 1_000).toFixed(2)} µs a note`);
}

/** The shortest of several runs in milliseconds: the one least disturbed by other work. */
function shortest(run: () => unknown, times: number): number {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < times; i++) {
    const from = performance.now();
    run();
    best = Math.min(best, performance.now() - from);
  }
  return best;
}

/** A wandering line in eighths at 120. */
function line(count: number, seed = 12): FingeringProblem {
  const dice = new Dice(seed, count);
  let midi = 64;
  const notes = Array.from({ length: count }, (_, i) => {
    midi += dice.int(-4, 4);
    if (midi < 45) midi += 12;
    if (midi > 84) midi -= 12;
    return { id: `n${i}`, kind: 'stopped' as const, midi };
  });
  const moments = notes.map((_, i) => ({
    onset: i * 5_040,
    seconds: i === 0 ? 0 : 0.25,
    struck: [i],
    held: [],
    ringing: [],
  }));
  return { instrument: STANDARD_GUITAR, limits: DEFAULT_LIMITS, style: 'lead', notes, moments };
}

function overDrone(count: number) {
  const bars = count / 8;
  return build('e 4/2 4/5 3/2 3/4 3/2 4/5 4/2 4/4 '.repeat(bars), {
    second: 'w 6/0 '.repeat(bars),
  });
}

/** Cost of the cheapest fingering by the textbook recurrence: every state with every state before. */
function naiveCost(problem: FingeringProblem): number {
  const w = WEIGHTS.lead;
  let before: { hand: number; mean: number; cost: number }[] = [];
  for (const m of problem.moments) {
    const g = gripsFor(problem, m, w);
    const now: typeof before = [];
    for (let q = 0; q < g.count; q++) {
      for (let s = g.first[q]!; s < g.first[q + 1]!; s++) {
        const hand = g.hand[q]! + s - g.first[q]!;
        const mean = g.mean[q]!;
        let best = before.length === 0 ? 0 : Number.POSITIVE_INFINITY;
        for (const b of before) {
          const way = Math.abs(hand - b.hand);
          const shift = way === 0 ? 0 : (w.shift + w.shiftFret * way) * hurryFactor(w, m.seconds);
          best = Math.min(best, b.cost + shift + crossingCost(w, Math.abs(mean - b.mean)));
        }
        now.push({ hand, mean, cost: best + g.cost[s]! });
      }
    }
    before = now;
  }
  return Math.min(...before.map((b) => b.cost));
}

main();

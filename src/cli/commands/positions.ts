import { playElsewhere } from '../../core/neck/apply';
import { findPositions } from '../../core/neck/areas';
import { type CostReason, explainCost, reasonText } from '../../core/neck/explain';
import { findPartPositions } from '../../core/neck/parts';
import { indexFingerFret } from '../../core/neck/positions';
import type { Fingering, FingeringProblem } from '../../core/neck/problem';
import { problemOf } from '../../core/neck/problem-of';
import type { Phrase } from '../../core/phrase/types';
import { writeTextTab } from '../../io/text-tab/write/write-text-tab';
import type { Source } from '../input';
import { type ListedNote, listNotes } from '../note-list';
import { degreeView } from '../output';
import type { Shell } from '../shell';
import { count } from '../words';

export interface PositionChoice {
  /** At most so many areas. */
  readonly count: number;
  /** Long phrases part by part. */
  readonly parts: boolean;
  /** The first note stays where it is. */
  readonly keepFirst: boolean;
}

/** A phrase or a part of it with the areas it can be played in, easiest first. */
interface Stretch {
  /** First and last bar of a part; null for a whole phrase. */
  readonly bars: readonly [number, number] | null;
  readonly problem: FingeringProblem;
  readonly positions: readonly Fingering[];
}

function stretchesOf(p: Phrase, choice: PositionChoice): readonly Stretch[] {
  if (choice.parts) return findPartPositions(p, { count: choice.count });
  const { count, keepFirst } = choice;
  const positions = findPositions(p, { count, keepFirst });
  return [{ bars: null, problem: problemOf(p, { keepFirst }), positions }];
}

/** Prints every phrase of a file at the best places for it, each in an area of its own (N5). */
export function printPositions(
  shell: Shell,
  source: Source,
  choice: PositionChoice,
  first: boolean,
): void {
  source.phrases.forEach((p, i) => {
    if (!first || i > 0) shell.print('\n');
    const stretches = stretchesOf(p, choice);
    if (!isPlayable(shell, source, p, stretches)) return;
    stretches.forEach((s, k) => {
      if (k > 0) shell.print('\n');
      const where = s.bars === null ? '' : `, ${barsText(s.bars)}`;
      const found = count(s.positions.length, 'position');
      shell.print(`${p.meta.title}${where}: ${found}, the easiest first\n`);
      printStretch(shell, p, s);
    });
  });
}

/** Says what is in the way where a stretch has no place at all. */
function isPlayable(
  shell: Shell,
  source: Source,
  p: Phrase,
  stretches: readonly Stretch[],
): boolean {
  const none = stretches.find((s) => s.positions.length === 0);
  if (none === undefined) return true;
  const where = none.bars === null ? '' : ` in ${barsText(none.bars)}`;
  const fix = 'Look with the command check at what is in the way.';
  shell.refuse(source.path, [
    { message: `no place on the neck keeps all the rules for '${p.meta.title}'${where}`, fix },
  ]);
  return false;
}

function barsText([from, to]: readonly [number, number]): string {
  return from === to ? `bar ${from}` : `bars ${from} to ${to}`;
}

function printStretch(shell: Shell, p: Phrase, s: Stretch): void {
  s.positions.forEach((f, k) => {
    const placed = playElsewhere(p, f);
    const fret = s.bars === null ? indexFingerFret(placed) : middleHand(f);
    shell.print(`\n${k + 1}. around fret ${fret}, effort ${tenth(f.cost)}\n`);
    const why = mainReasons(explainCost(p, s.problem, f));
    if (why.length > 0) shell.print(`   ${why.join('; ')}\n`);
    shell.print('\n');
    const style = { width: shell.width, degrees: degreeView(p), ascii: shell.ascii };
    shell.print(
      writeTextTab(placed, { ...style, header: false, legend: k === s.positions.length - 1 }),
    );
  });
}

function middleHand(f: Fingering): number {
  const hands = [...f.handPositions].sort((a, b) => a - b);
  return hands[(hands.length - 1) >> 1]!;
}

function tenth(n: number): number {
  return Math.round(n * 10) / 10;
}

/** What is told of a position: at most so many reasons, of at least so much. */
const TOLD = 4;
const WORTH_TELLING = 0.5;

function mainReasons(reasons: readonly CostReason[]): readonly string[] {
  return reasons
    .filter((r) => Math.abs(r.cost) >= WORTH_TELLING)
    .slice(0, TOLD)
    .map((r) => `${reasonText(r)} (${tenth(r.cost)})`);
}

/** A position as `positions --json` lists it. */
export interface ListedPosition {
  /** Of the index finger, the middle of all moments, counted from the capo. */
  readonly fret: number;
  readonly effort: number;
  /** The costliest first; together they make the effort. Below 0 eases the hand. */
  readonly reasons: readonly {
    readonly part: string;
    readonly cost: number;
    readonly what: string;
    readonly bars: readonly number[];
  }[];
  /** The whole phrase with these places. */
  readonly notes: readonly ListedNote[];
}

/** The positions of one phrase, by part where that was asked for. */
export interface ListedPositions {
  readonly file: string;
  readonly title: string;
  readonly parts: readonly {
    readonly bars: readonly [number, number] | null;
    readonly positions: readonly ListedPosition[];
  }[];
}

/** The positions of every phrase of a file as data; what has none is refused in words. */
export function listPositions(
  shell: Shell,
  source: Source,
  choice: PositionChoice,
): readonly ListedPositions[] {
  return source.phrases.flatMap((p): ListedPositions[] => {
    const stretches = stretchesOf(p, choice);
    if (!isPlayable(shell, source, p, stretches)) return [];
    const parts = stretches.map((s) => ({
      bars: s.bars,
      positions: s.positions.map((f): ListedPosition => {
        const reasons = explainCost(p, s.problem, f);
        return {
          fret: middleHand(f),
          effort: hundredth(f.cost),
          reasons: reasons.map(({ part, cost, what, bars }) => ({
            part,
            cost: hundredth(cost),
            what,
            bars,
          })),
          notes: listNotes(playElsewhere(p, f)),
        };
      }),
    }));
    return [{ file: source.path, title: p.meta.title, parts }];
  });
}

function hundredth(n: number): number {
  return Math.round(n * 100) / 100;
}

/** `{ "positions": […] }` or, by part, `{ "parts": […] }` for a single phrase; a list of such objects otherwise. */
export function positionsText(all: readonly ListedPositions[], single: boolean): string {
  const bodies = all.map(({ file, title, parts }) => {
    const [only] = parts;
    const body =
      parts.length === 1 && only!.bars === null ? { positions: only!.positions } : { parts };
    return single ? body : { file, title, ...body };
  });
  return `${JSON.stringify(single && bodies.length === 1 ? bodies[0] : bodies, null, 2)}\n`;
}

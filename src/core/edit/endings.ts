import type { Bar } from '../phrase/types';

/** Bars under one bracket, `from` to `to` by their places in the list, both included. */
export interface Ending {
  readonly from: number;
  readonly to: number;
  /** The passes on which they are played: [1], [2], … */
  readonly passes: readonly number[];
}

/** The brackets that follow each other without a gap and hold a bar; none where it is under no ending. */
export function endingsAround(bars: readonly Bar[], index: number): readonly Ending[] {
  if (bars[index]?.ending === undefined) return [];
  let from = index;
  while (bars[from - 1]?.ending !== undefined) from--;
  const found: Ending[] = [];
  for (let i = from; bars[i]?.ending !== undefined; i++) {
    const passes = bars[i]!.ending!;
    const last = found.at(-1);
    if (last !== undefined && samePasses(last.passes, passes)) {
      found[found.length - 1] = { ...last, to: i };
    } else found.push({ from: i, to: i, passes });
  }
  return found;
}

function samePasses(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((x, i) => x === b[i]);
}

/**
 * The bars with repeats where their endings ask for them: each ending but the last of its run closes
 * with one, and no other bar under them does. Whether the numbers make sense is left to the rules.
 */
export function closeEndings(bars: readonly Bar[]): readonly Bar[] {
  const next = [...bars];
  for (let i = 0; i < bars.length; i++) {
    const run = endingsAround(bars, i);
    const last = run.at(-1);
    if (last === undefined) continue;
    const times = last.passes.at(-1) ?? 0;
    for (const ending of run) {
      for (let k = ending.from; k <= ending.to; k++) {
        const { repeatEnd, ...open } = bars[k]!;
        const closes = ending !== last && k === ending.to;
        next[k] = closes ? { ...open, repeatEnd: times } : open;
      }
    }
    i = last.to;
  }
  return next;
}

/** `ending 1 over bars 3 to 4, ending 2 over bar 5`. */
export function endingsInWords(run: readonly Ending[]): string {
  return run
    .map(({ from, to, passes }) => {
      const bars = from === to ? `bar ${from + 1}` : `bars ${from + 1} to ${to + 1}`;
      return `${endingName(passes)} over ${bars}`;
    })
    .join(', ');
}

/** `ending 1`, `ending 1 and 2`. */
export function endingName(passes: readonly number[]): string {
  return `ending ${passes.join(' and ')}`;
}

import { shownTitle } from '../phrase/record';
import type { Chosen } from './chosen';
import type { Sketched } from './placer';
import type { Seeker } from './seeker';
import type { Solo, SoloTask } from './types';

type Stretch = { readonly from: number; readonly to: number };

/** The bars of a chorus in which nothing stands, each with why that is so, as part of a sentence. */
export function emptyBars(
  task: SoloTask,
  chosen: readonly Chosen[],
  seeker: Seeker,
): Solo['empty'] {
  const { form, options } = task;
  const filled = new Set(chosen.flatMap(({ candidate: c }) => range(c.start, c.end)));
  const resting = new Set((options.pins ?? []).flatMap((p) => (p.index === null ? [p.start] : [])));
  const open = (bar: number) => bar < form.bars.length && !filled.has(bar) && !resting.has(bar);
  return range(0, form.bars.length).flatMap((bar) => {
    if (filled.has(bar)) return [];
    if (resting.has(bar)) return [{ bar: bar + 1, why: 'it was left empty on purpose' }];
    if (options.fill === false) return [{ bar: bar + 1, why: 'nothing was put there' }];
    let from = bar;
    let to = bar + 1;
    while (from > 0 && open(from - 1)) from--;
    while (open(to)) to++;
    return [{ bar: bar + 1, why: whyEmpty(task, chosen, seeker, { from, to }) }];
  });
}

/** Why nothing stands in bars from 0, [from, to): the first thing that kept all phrases away. */
function whyEmpty(
  { phrases, form }: SoloTask,
  chosen: readonly Chosen[],
  seeker: Seeker,
  { from, to }: Stretch,
): string {
  const room = to - from === 1 ? 'one bar' : `${to - from} bars`;
  const short = seeker.all.filter((c) => c.start >= from && c.end <= to);
  const of = seeker.weighed === null ? '' : `, of the ${seeker.weighed} that suit best`;
  if (short.length === 0) return `no phrase of up to ${room} can be moved there${of}`;
  const times = (index: number) => chosen.filter((c) => c.candidate.index === index).length;
  const free = short.filter((c) => times(c.index) < seeker.most);
  if (free.length === 0) {
    const often = seeker.most === 1 ? 'once' : `${seeker.most} times`;
    return `every phrase of up to ${room}${of === '' ? '' : `${of},`} stands ${often} already`;
  }
  const wanted = free.filter((c) => seeker.mayStand(c));
  if (wanted.length === 0) return 'what fits there is not wanted';
  const before = chosen.filter(({ candidate: c }) => c.end <= from).at(-1);
  const after = chosen.find(({ candidate: c }) => c.start >= to);
  const between = wanted.filter(
    (c) =>
      (before === undefined || seeker.follows(before.candidate, c)) &&
      (after === undefined || seeker.follows(c, after.candidate)),
  );
  if (between.length === 0) {
    const beside = wanted.filter((c) =>
      [before, after].some((n) => n?.candidate.index === c.index),
    );
    return whyNoneFollows(wanted, beside, (index) => shownTitle(phrases[index]!.meta));
  }
  // Each has to be moved and fingered for it, so no more are than have to be.
  const fits = between.find((c) => seeker.chosen(c).ok);
  if (fits !== undefined) {
    const title = shownTitle(phrases[fits.index]!.meta);
    return to === form.bars.length
      ? `the chorus ends better before it than with “${title}”`
      : `a rest joins better than “${title}”`;
  }
  const first = seeker.chosen(between[0]!);
  const reason = first.ok ? 'none' : first.problems[0]!.message;
  return `what fits there cannot be played there (${reason})`;
}

/**
 * Why nothing can come between what stands on either side.
 * @param wanted What could stand there by itself.
 * @param beside Those of it that are what stands on one side or the other.
 */
function whyNoneFollows(
  wanted: readonly Sketched[],
  beside: readonly Sketched[],
  title: (index: number) => string,
): string {
  const runs = 'what fits there runs into its neighbours';
  if (beside.length === 0) return runs;
  const twice = 'would come twice in a row';
  if (beside.length < wanted.length) return `${runs} or ${twice}`;
  const [first, ...others] = new Set(beside.map(({ index }) => index));
  return `${others.length === 0 ? `“${title(first!)}”` : 'what fits there'} ${twice}`;
}

const range = (from: number, to: number) =>
  Array.from({ length: Math.max(0, to - from) }, (_, i) => from + i);

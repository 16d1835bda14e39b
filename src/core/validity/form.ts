import { fullLength, meterTicks } from '../phrase/time';
import type { Bar, Phrase } from '../phrase/types';
import type { Findings } from './findings';
import { GRID } from './rhythm';

/** Bars, pickup and end (T2), repeats and endings. */
export function checkForm(p: Phrase, out: Findings): void {
  checkExtent(p, out);
  checkRepeats(p, out);
}

function checkExtent(p: Phrase, out: Findings): void {
  const first = meterTicks(p.bars[0]!.meter);
  if (!(p.pickup >= 0 && p.pickup < first && p.pickup % GRID === 0)) {
    out.add({
      pointer: '/pickup',
      message: `a pickup of ${p.pickup} ticks does not fit before a bar of ${first}`,
      fix: 'Make it shorter than the first bar and a whole number of 128ths (315 ticks).',
      onset: 0,
    });
  }
  const full = fullLength(p);
  const last = full - meterTicks(p.bars.at(-1)!.meter);
  if (!(p.length > last && p.length <= full && p.length % GRID === 0)) {
    out.add({
      pointer: '/length',
      message: `the phrase ends at tick ${p.length}, outside its last bar from ${last} to ${full}`,
      fix: 'Let it end inside the last bar on a whole number of 128ths (315 ticks), or add or remove bars.',
    });
  }
}

/**
 * Repeats do not nest; one without a start goes back to the end of the one before. Endings number
 * the passes 1, 2, … without a gap; each but the last closes with a repeat.
 */
function checkRepeats(p: Phrase, out: Findings): void {
  const { bars } = p;
  let open: number | null = null;
  let sectionStart = 0;
  for (let i = 0; i < bars.length; i++) {
    const bar = bars[i]!;
    if (bar.ending !== undefined) {
      const next = endOfEndings(bars, i);
      checkEndings(bars, i, next, sectionStart, (at, field, message, fix) => {
        reportBar(out, at, field, message, fix);
      });
      open = null;
      sectionStart = next;
      i = next - 1;
      continue;
    }
    if (bar.repeatStart === true) {
      if (open !== null) {
        reportBar(
          out,
          i,
          'repeatStart',
          `a repeat starts inside the one that started at bar ${open + 1}`,
          'Close the first repeat before this bar, or remove one of the starts.',
        );
      }
      open = i;
      sectionStart = i;
    }
    if (bar.repeatEnd !== undefined) {
      open = null;
      sectionStart = i + 1;
    }
  }
  if (open !== null) {
    reportBar(
      out,
      open,
      'repeatStart',
      'the repeat that starts here never ends',
      'Set a repeat end on a later bar, or remove the start.',
    );
  }
}

function endOfEndings(bars: readonly Bar[], from: number): number {
  let to = from;
  while (bars[to]?.ending !== undefined) to++;
  return to;
}

type Report = (
  bar: number,
  field: 'ending' | 'repeatEnd' | 'repeatStart',
  message: string,
  fix: string,
) => void;

/** One run of bars under brackets, from `from` to before `to`. */
function checkEndings(
  bars: readonly Bar[],
  from: number,
  to: number,
  sectionStart: number,
  report: Report,
): void {
  if (from === sectionStart) {
    report(
      from,
      'ending',
      'an ending has no bars before it to repeat',
      'Leave at least one bar without an ending before it.',
    );
  }
  const passes = bars[to - 1]!.ending!.at(-1) ?? 0;
  if (passes < 2) {
    report(
      to - 1,
      'ending',
      'there is a first ending but no second',
      'Give the following bar ending 2.',
    );
  }
  let expected = 1;
  for (let i = from; i < to; i++) {
    const { ending, repeatStart, repeatEnd } = bars[i]!;
    if (repeatStart === true) {
      report(
        i,
        'repeatStart',
        'a repeat starts under an ending',
        'Start it after the last ending.',
      );
    }
    const begins = i === from || !sameList(ending!, bars[i - 1]!.ending!);
    if (begins) {
      const list = ending!.map((_, k) => expected + k);
      if (!sameList(ending!, list)) {
        report(
          i,
          'ending',
          `the ending is numbered ${ending!.join(', ')} where ${list.join(', ')} is due`,
          'Number the passes 1, 2, … without a gap.',
        );
      }
      expected += ending!.length;
    }
    const ends = i === to - 1 || !sameList(ending!, bars[i + 1]!.ending!);
    const closes = ends && i < to - 1;
    if (closes && repeatEnd === undefined) {
      report(
        i,
        'ending',
        'this ending does not close with a repeat',
        `Set repeatEnd to ${passes} on its last bar.`,
      );
    } else if (!closes && repeatEnd !== undefined) {
      report(
        i,
        'repeatEnd',
        'a repeat ends inside an ending or under the last one',
        'Keep it on the last bar of each ending but the last.',
      );
    } else if (repeatEnd !== undefined && repeatEnd !== passes) {
      report(
        i,
        'repeatEnd',
        `the section is played ${repeatEnd} times and has endings for ${passes}`,
        `Set repeatEnd to ${passes}, or number the endings anew.`,
      );
    }
  }
}

function sameList(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((x, i) => x === b[i]);
}

function reportBar(out: Findings, bar: number, field: string, message: string, fix: string): void {
  const pickup = out.spans.length - out.phrase.bars.length;
  const span = out.spans[pickup + bar];
  out.add({
    pointer: `/bars/${bar}/${field}`,
    message,
    fix,
    ...(span === undefined ? {} : { onset: span.start }),
  });
}

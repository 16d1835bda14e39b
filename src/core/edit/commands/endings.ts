import type { Bar } from '../../phrase/types';
import { withField } from '../change';
import { defineCommand } from '../command';
import { closeEndings, endingName, endingsAround, endingsInWords } from '../endings';
import { cannot, done, type Outcome } from '../outcome';
import { sameData } from '../same';
import type { EditState } from '../state';
import { chosenBars } from './bars';

const ENDINGS = [
  { value: '1', title: 'ending 1' },
  { value: '2', title: 'ending 2' },
  { value: '3', title: 'ending 3' },
  { value: '4', title: 'ending 4' },
  { value: 'none', title: 'no ending' },
] as const;

/**
 * Endings over the chosen bars, or this one. A first ending brings the second over the bar that
 * follows, and a second the first over the bar before, since one alone says nothing; the repeat
 * closes where the endings ask for it. What the numbers must be is the rule of the form (T2).
 */
export const setEnding = defineCommand<(typeof ENDINGS)[number]['value']>({
  id: 'bar.ending',
  group: 'Bars and beats',
  title: 'Give these bars',
  words: 'first second ending bracket time prima seconda volta repeat',
  ask: { kind: 'choice', choices: ENDINGS },
  apply: (s, which) => (which === 'none' ? withoutEndings(s) : withEnding(s, Number(which))),
});

function withEnding(s: EditState, pass: number): Outcome {
  const { bars } = s.phrase;
  const { from, to } = chosenBars(s);
  const near = [from - 1, from, to, to + 1].find((i) => bars[i]?.ending !== undefined);
  const old = near === undefined ? [] : endingsAround(bars, near);
  const open = old.length > 0 ? { bars, end: null, times: 2 } : withoutOldEnd(bars, from, to);
  if (typeof open === 'string') return cannot(open);
  const passes = old.find((e) => e.passes.includes(pass))?.passes ?? passesOf(pass, open.times);
  const given = open.bars.map((b, i) => (i < from || i > to ? b : { ...b, ending: passes }));
  const paired = withPair(given, from, open.times);
  if (typeof paired === 'string') return cannot(paired);
  const next = closeEndings(paired);
  if (sameData(next, bars)) {
    const are = from === to ? `bar ${from + 1} is` : `bars ${from + 1} to ${to + 1} are`;
    return cannot(`${are} under ${endingName(passes)} already`);
  }
  const lost = open.bars.findIndex(
    (b, i) =>
      b.ending === undefined && b.repeatEnd !== undefined && next[i]!.repeatEnd === undefined,
  );
  if (lost >= 0)
    return cannot(`a repeat ends with bar ${lost + 1}, which would be under an ending`);
  const say = endingsInWords(endingsAround(next, from));
  return done(
    { ...s, phrase: { ...s.phrase, bars: next } },
    open.end === null ? say : `${say}; the repeat ends no more with bar ${open.end + 1}`,
  );
}

/** A repeat that is played more than twice has all its passes but the last in the first ending. */
function passesOf(pass: number, times: number): readonly number[] {
  if (pass > 2) return [pass];
  return pass === 2 ? [times] : Array.from({ length: times - 1 }, (_, i) => i + 1);
}

/**
 * The bars without the end of the repeat that new endings are put into: it ends with them now.
 * `end` is the bar that it ended with where that is none of them, `times` how often it is played.
 */
function withoutOldEnd(
  bars: readonly Bar[],
  from: number,
  to: number,
): { readonly bars: readonly Bar[]; readonly end: number | null; readonly times: number } | string {
  // A repeat that ends right before a second ending is what the first one closes with.
  const before = bars[from - 1]?.repeatEnd;
  if (before !== undefined) return { bars, end: null, times: before };
  let at = to;
  while (at < bars.length && bars[at]!.repeatEnd === undefined) {
    at++;
    if (bars[at]?.repeatStart === true) return { bars, end: null, times: 2 };
    if (bars[at]?.ending !== undefined) {
      return `the repeat has endings already, from bar ${at + 1} on`;
    }
  }
  const times = bars[at]?.repeatEnd;
  if (times === undefined) return { bars, end: null, times: 2 };
  const without = bars.map((b, i) => (i === at ? withField(b, 'repeatEnd', undefined) : b));
  return { bars: without, end: at === to ? null : at, times };
}

/** The bars with the other ending of a pair where only the first or only the second is there. */
function withPair(bars: readonly Bar[], index: number, times: number): readonly Bar[] | string {
  const run = endingsAround(bars, index);
  const [first] = run;
  const last = run.at(-1);
  if (first === undefined || last === undefined) return bars;
  if (run.length === 1 && first.passes.includes(1)) {
    const next = bars[last.to + 1];
    if (next === undefined) {
      return 'no bar follows that could be ending 2: put in an empty one first';
    }
    if (next.repeatStart === true) {
      return `a repeat begins with bar ${last.to + 2}, which would be ending 2`;
    }
    const passes = [(first.passes.at(-1) ?? 1) + 1];
    return bars.map((b, i) => (i === last.to + 1 ? { ...b, ending: passes } : b));
  }
  const alone = run.length === 1 && first.passes[0] === times;
  if (!alone) return bars;
  return bars.map((b, i) => (i === first.from - 1 ? { ...b, ending: passesOf(1, times) } : b));
}

/** Endings go together, since one alone says nothing; the repeat closes where the first one did. */
function withoutEndings(s: EditState): Outcome {
  const { bars } = s.phrase;
  const { from, to } = chosenBars(s);
  const runs = new Map<number, ReturnType<typeof endingsAround>>();
  for (let i = from; i <= to; i++) {
    const run = endingsAround(bars, i);
    if (run[0] !== undefined) runs.set(run[0].from, run);
  }
  if (runs.size === 0) {
    return cannot(from === to ? 'the bar is under no ending' : 'the bars are under no ending');
  }
  const next = bars.map((b, i): Bar => {
    const run = [...runs.values()].find((r) => i >= r[0]!.from && i <= r.at(-1)!.to);
    if (run === undefined) return b;
    const plain = withField(b, 'ending', undefined);
    return i === run[0]!.to ? plain : withField(plain, 'repeatEnd', undefined);
  });
  return done({ ...s, phrase: { ...s.phrase, bars: next } }, 'endings taken off');
}

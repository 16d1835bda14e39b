import { replaceAt } from '../../phrase/rebuild';
import type { Bar } from '../../phrase/types';
import { defineCommand } from '../command';
import { cannot, done, type Outcome } from '../outcome';
import type { EditState } from '../state';
import { barIndex } from './bars';

/** Repeats. A beginning is written where an end follows, so that no repeat stays open. */
export const setRepeat = defineCommand<'start' | 'end' | 'none'>({
  id: 'bar.repeat',
  group: 'Bars and beats',
  title: 'Let this bar',
  words: 'repeat sign twice',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'start', title: 'begin the repeat that ends with it or later' },
      { value: 'end', title: 'end a repeat, from the one before or the beginning' },
      { value: 'none', title: 'neither begin nor end a repeat' },
    ],
  },
  apply: (s, what) => {
    const index = barIndex(s);
    const { bars } = s.phrase;
    const bar = bars[index]!;
    if (what === 'none') return withoutRepeat(s, index);
    if (what === 'start') {
      if (bar.repeatStart === true) return cannot('a repeat begins there already');
      if (!isClosed(bars, index)) {
        return cannot('no repeat ends at this bar or after it: let one end first');
      }
      return done(withBar(s, index, { ...bar, repeatStart: true }), 'a repeat begins');
    }
    if (bar.repeatEnd !== undefined) return cannot('a repeat ends there already');
    return done(withBar(s, index, { ...bar, repeatEnd: 2 }), 'a repeat ends');
  },
});

/** Takes off what a bar begins and ends; endings go together, since one alone says nothing. */
function withoutRepeat(s: EditState, index: number): Outcome {
  const { bars } = s.phrase;
  const bar = bars[index]!;
  if (bar.repeatStart === undefined && bar.repeatEnd === undefined && bar.ending === undefined) {
    return cannot('no repeat begins or ends there');
  }
  let [from, to] = [index, index];
  if (bar.ending !== undefined) {
    while (bars[from - 1]?.ending !== undefined) from--;
    while (bars[to + 1]?.ending !== undefined) to++;
  }
  const next = bars.map((b, i): Bar => {
    if (i < from || i > to) return b;
    const { repeatStart, repeatEnd, ending, ...plain } = b;
    return plain;
  });
  const before = bars.slice(0, from);
  const began = before.map((b) => b.repeatStart === true).lastIndexOf(true);
  const stillOpen = began >= 0 && before.slice(began).every((b) => b.repeatEnd === undefined);
  if (stillOpen && !isClosed(next, to + 1)) {
    return cannot(
      `the repeat that begins with bar ${began + 1} would not end: take its beginning off first`,
    );
  }
  return done({ ...s, phrase: { ...s.phrase, bars: next } }, 'no repeat');
}

/** Whether a repeat ends with a bar or after it, before the next one begins. */
function isClosed(bars: readonly Bar[], from: number): boolean {
  const until = bars.findIndex((b, i) => i > from && b.repeatStart === true);
  return bars
    .slice(from, until < 0 ? bars.length : until)
    .some((b) => b.repeatEnd !== undefined || b.ending !== undefined);
}

function withBar(s: EditState, index: number, bar: Bar): EditState {
  return { ...s, phrase: { ...s.phrase, bars: replaceAt(s.phrase.bars, index, bar) } };
}

import { meterTicks } from '../../phrase/time';
import type { Bar, Phrase, Ticks, Voice } from '../../phrase/types';
import { barOver, dropEmptyVoice, endAt } from '../../phrase/voices';
import { endOf } from '../../phrase/walk';
import { defineCommand } from '../command';
import { closeEndings, endingName, endingsAround } from '../endings';
import { cannot, done } from '../outcome';
import { moveCursor } from '../select';
import { barIndex, filled, startOfBar } from './bars';

/** Everything from a moment on, later by ticks; chords, marks, tuplets and both voices. */
export function openGap(p: Phrase, at: Ticks, by: Ticks): Phrase {
  const later = <T extends { readonly onset: Ticks }>(x: T): T =>
    x.onset >= at ? { ...x, onset: x.onset + by } : x;
  const voice = (v: Voice): Voice => ({
    events: v.events.map((e) => later(endAt(e, e.onset < at ? at : Number.POSITIVE_INFINITY))),
    tuplets: v.tuplets.map(later),
  });
  const [first, second] = p.voices;
  return {
    ...p,
    chords: p.chords.map(later),
    marks: p.marks.map(later),
    voices: second === undefined ? [voice(first)] : [voice(first), voice(second)],
  };
}

/** An empty bar of the same metre; between bars under endings it goes under this one's. */
export const insertBar = defineCommand<'before' | 'after'>({
  id: 'bar.insert',
  group: 'Bars and beats',
  title: 'Put in an empty bar',
  words: 'insert add measure',
  ask: {
    kind: 'choice',
    choices: [
      { value: 'before', title: 'before this one' },
      { value: 'after', title: 'after this one' },
    ],
  },
  keys: [{ key: '|', value: 'before' }],
  apply: (s, where) => {
    const full = filled(s.phrase);
    const index = barIndex(s);
    const start = startOfBar(full, index + (where === 'after' ? 1 : 0));
    const { meter, ending } = full.bars[index]!;
    const other = full.bars[index + (where === 'after' ? 1 : -1)]?.ending;
    const between = ending !== undefined && other !== undefined;
    const bars = [...full.bars];
    bars.splice(index + (where === 'after' ? 1 : 0), 0, between ? { meter, ending } : { meter });
    const ticks = meterTicks(meter);
    const phrase = {
      ...openGap(full, start, ticks),
      bars: closeEndings(bars),
      length: full.length + ticks,
    };
    const { cursor } = s.selection;
    const onset = where === 'before' ? Math.max(cursor.onset, start) : cursor.onset;
    const held = full.voices.some((v) => v.events.some((e) => e.onset < start && endOf(e) > start));
    return done(
      moveCursor({ ...s, phrase }, { ...cursor, onset }),
      held ? 'a bar put in, what was held over the place ends there' : 'a bar put in',
    );
  },
});

/**
 * Takes bars out with everything that begins in them. The last bar of an ending or a repeat leaves
 * its repeat to the one before; an ending is not taken out alone, since the others would say nothing.
 */
export const deleteBars = defineCommand<undefined>({
  id: 'bar.delete',
  group: 'Bars and beats',
  title: 'Take out the chosen bars, or this one',
  words: 'delete remove measure',
  ask: { kind: 'nothing' },
  apply: (s) => {
    const { cursor, corner } = s.selection;
    const ends = [cursor.onset, (corner ?? cursor).onset].map((t) => barOver(s.phrase, t));
    const from = ends.reduce((a, b) => (a.start <= b.start ? a : b));
    const to = ends.reduce((a, b) => (a.end >= b.end ? a : b));
    if (from.number === 0) return cannot('the pickup is taken out by setting it to nothing');
    const count = to.number - from.number + 1;
    if (count >= s.phrase.bars.length) return cannot('a phrase has one bar at least');
    const full = filled(s.phrase);
    const start = startOfBar(full, from.number - 1);
    const end = startOfBar(full, to.number);
    const closed = closeGap(full, start, end);
    const gone = (i: number) => i >= from.number - 1 && i < to.number;
    const alone = lostEnding(full.bars, gone);
    if (alone !== null) return cannot(alone);
    const bars = closeEndings(withoutBars(full.bars, from.number - 1, to.number - 1));
    const lastGone = to.number === full.bars.length;
    const length = Math.min(
      full.length - (end - start),
      lastGone ? Number.POSITIVE_INFINITY : s.phrase.length - (end - start),
    );
    const phrase = dropEmptyVoice({ ...closed, bars, length });
    const at = { ...s, phrase };
    return done(
      moveCursor(at, { ...cursor, onset: Math.min(start, length) }),
      count === 1 ? `bar ${from.number} taken out` : `${count} bars taken out`,
    );
  },
});

/**
 * The bars that stay. A repeat that begins in those that go and ends after them begins with the next
 * one; a repeat that began before them and ends in them ends with the one before.
 */
function withoutBars(bars: readonly Bar[], from: number, to: number): readonly Bar[] {
  const before = bars[from - 1];
  let goesOn =
    before !== undefined && before.repeatEnd === undefined && before.ending === undefined;
  let ends: number | null = null;
  let begins = false;
  for (const bar of bars.slice(from, to + 1)) {
    if (bar.repeatStart === true) {
      begins = true;
      goesOn = false;
    }
    // What ends under endings is left to them.
    if (bar.repeatEnd !== undefined && bar.ending === undefined && goesOn) ends = bar.repeatEnd;
    if (bar.repeatEnd !== undefined) {
      begins = false;
      goesOn = false;
    }
  }
  return bars.flatMap((b, i): Bar[] => {
    if (i >= from && i <= to) return [];
    if (i === from - 1 && ends !== null) return [{ ...b, repeatEnd: ends }];
    return [i === to + 1 && begins && b.ending === undefined ? { ...b, repeatStart: true } : b];
  });
}

/** Why bars cannot go: an ending would go without the others of its run. Null where they can. */
function lostEnding(bars: readonly Bar[], gone: (index: number) => boolean): string | null {
  for (let i = 0; i < bars.length; i++) {
    const run = endingsAround(bars, i);
    const lost = run.filter((e) => bars.every((_, k) => k < e.from || k > e.to || gone(k)));
    const [first] = lost;
    if (first !== undefined && lost.length < run.length) {
      return `${endingName(first.passes)} would be gone: take the endings off first`;
    }
    i = run.at(-1)?.to ?? i;
  }
  return null;
}

/** Takes a stretch of time out of everything. The chord that sounds after it goes on sounding. */
function closeGap(p: Phrase, start: Ticks, end: Ticks): Phrase {
  const by = end - start;
  const outside = (t: Ticks) => t < start || t >= end;
  const back = <T extends { readonly onset: Ticks }>(x: T): T =>
    x.onset >= end ? { ...x, onset: x.onset - by } : x;
  const voice = (v: Voice): Voice => ({
    events: v.events
      .filter((e) => outside(e.onset))
      .map((e) => back(e.onset < start ? endAt(e, start) : e)),
    tuplets: v.tuplets.filter((t) => outside(t.onset)).map(back),
  });
  const after = p.chords.filter((c) => c.onset <= end).at(-1);
  const kept = p.chords.filter((c) => outside(c.onset)).map(back);
  const joins = end < p.length && after !== undefined && after.onset >= start && after.onset < end;
  const chords = joins
    ? [
        ...kept.filter((c) => c.onset < start),
        { ...after, onset: start },
        ...kept.filter((c) => c.onset > start),
      ]
    : kept;
  const [first, second] = p.voices;
  return {
    ...p,
    chords: chords.map((c, i) => (i === 0 && start === 0 ? { ...c, onset: 0 } : c)),
    marks: p.marks.filter((m) => outside(m.onset)).map(back),
    voices: second === undefined ? [voice(first)] : [voice(first), voice(second)],
  };
}

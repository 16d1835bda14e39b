import { byString, mapVoices } from '../../phrase/rebuild';
import { barSpans } from '../../phrase/time';
import type { Bar, Note, NoteId, Phrase, PhraseEvent, Ticks } from '../../phrase/types';
import { barOver, endAt } from '../../phrase/voices';
import { endOf } from '../../phrase/walk';
import { mendAfter } from '../../validity/mend';
import { copyOf, pasteInto } from '../clip';
import { closeEndings } from '../endings';
import { cannot, done, type Outcome } from '../outcome';
import { sameData } from '../same';
import { chosenEvents, freshId, moveCursor, voiceOf } from '../select';
import type { EditState } from '../state';
import { filled } from './bars';
import { openGap } from './whole-bars';

/**
 * What is chosen, once more behind itself; where nothing is, the bar under the cursor. Whole bars come
 * as bars, with their chords, marks and both voices, and what comes later moves on. Part of a bar goes
 * in like something that was copied: over what is there, or pushing it on, as the pen is set.
 */
export function repeatBehind(s: EditState): Outcome {
  if (s.selection.corner === null) {
    const bar = barOver(s.phrase, s.selection.cursor.onset);
    if (bar.number === 0) return cannot('the pickup is not repeated by itself: choose its notes');
    return barsBehind(s, bar.number, bar.number);
  }
  const chosen = chosenEvents(s).map((c) => c.event);
  const [first] = chosen;
  if (first === undefined) return cannot('no note is chosen');
  const end = Math.max(...chosen.map(endOf));
  const bars = wholeBars(s, first.onset, end);
  if (bars !== null) return barsBehind(s, bars.from, bars.to);
  const copy = copyOf(s, s.phrase.id, s.phrase.meta.modified);
  if (copy === null) return cannot('no note is chosen');
  const covered =
    s.pen.flow === 'push'
      ? 0
      : voiceOf(s).events.filter((e) => e.onset >= end && e.onset < 2 * end - first.onset).length;
  const outcome = pasteInto(moveCursor(s, { ...s.selection.cursor, onset: end }), copy);
  if (outcome.kind !== 'done') return outcome;
  return done(outcome.state, `repeated${goneWords(covered)}`);
}

function goneWords(moments: number): string {
  if (moments === 0) return '';
  return moments === 1
    ? '; what stood there is gone'
    : `; ${moments} moments that stood there are gone`;
}

/**
 * The numbers of the bars that a chosen stretch fills or, where it reaches over a bar line, that hold
 * no other note of its voice; null where it is part of a bar.
 */
function wholeBars(s: EditState, from: Ticks, to: Ticks) {
  const spans = barSpans(s.phrase).filter((b) => b.start < to && b.end > from);
  const [first, last] = [spans[0]!, spans.at(-1)!];
  if (first.number === 0) return null;
  const all = voiceOf(s).events.filter((e) => e.onset >= first.start && e.onset < last.end);
  const ids = new Set(chosenEvents(s).map((c) => c.index));
  const alone = all.every((e) => ids.has(voiceOf(s).events.indexOf(e)));
  const fills = from === first.start && to === last.end;
  return alone && (fills || spans.length > 1) ? { from: first.number, to: last.number } : null;
}

/** Bars by their numbers, once more behind the last of them. */
function barsBehind(s: EditState, from: number, to: number): Outcome {
  const full = filled(s.phrase);
  const spans = barSpans(full);
  const start = spans.find((b) => b.number === from)!.start;
  const end = spans.find((b) => b.number === to)!.end;
  const by = end - start;
  const taken = takenOut(full, start, end);
  if (taken === null) return cannot('there is no note to repeat: put in an empty bar instead');
  const empty = emptyBehind(full, from, to);
  const phrase = withCopy(empty ? full : roomBehind(full, from, to), full, taken.voices, by);
  const cursor = { ...s.selection.cursor, onset: end };
  return done(
    moveCursor({ ...s, phrase }, cursor),
    [
      `${from === to ? `bar ${from}` : `bars ${from} to ${to}`} repeated${empty ? ', into empty bars' : ''}`,
      ...(taken.held ? ['what was held over their end ends there'] : []),
      ...(taken.gaveWay.length === 0 ? [] : [`${taken.gaveWay.join(', ')} taken off the copy`]),
    ].join('; '),
  );
}

/** Whether as many bars of the same metres follow, in which nothing sounds: a form laid out before its notes. */
function emptyBehind(full: Phrase, from: number, to: number): boolean {
  const spans = barSpans(full);
  for (let n = from; n <= to; n++) {
    const own = spans.find((b) => b.number === n)!;
    const next = spans.find((b) => b.number === n + to - from + 1);
    if (next === undefined || !sameData(next.bar.meter, own.bar.meter)) return false;
    const sounds = (e: PhraseEvent) => e.onset < next.end && endOf(e) > next.start;
    if (full.voices.some((v) => v.events.some(sounds))) return false;
  }
  return true;
}

/** The phrase with empty bars behind some, with their metres, chords and marks. */
function roomBehind(full: Phrase, from: number, to: number): Phrase {
  const spans = barSpans(full);
  const start = spans.find((b) => b.number === from)!.start;
  const end = spans.find((b) => b.number === to)!.end;
  const by = end - start;
  const { ending } = full.bars[to - 1]!;
  const again = full.bars.slice(from - 1, to).map(({ meter }): Bar => {
    return ending === undefined ? { meter } : { meter, ending };
  });
  const gap = openGap(full, end, by);
  const later = laterBy(by);
  return {
    ...gap,
    bars: closeEndings([...full.bars.slice(0, to), ...again, ...full.bars.slice(to)]),
    length: full.length + by,
    chords: inOrder([...gap.chords, ...chordsAgain(full, start, end).map(later)]),
    marks: inOrder([...gap.marks, ...full.marks.filter((m) => isIn(m, start, end)).map(later)]),
  };
}

/** The phrase with music that was taken from another in it, so much later, its notes new. */
function withCopy(room: Phrase, from: Phrase, taken: Phrase['voices'], by: Ticks): Phrase {
  const ids: NoteId[] = [];
  const later = laterBy(by);
  const anew = (e: PhraseEvent): PhraseEvent => {
    const notes = e.notes.map((n): Note => {
      const id = freshId(from, ids);
      ids.push(id);
      return { ...n, id };
    });
    return { ...later(e), notes: byString(notes) };
  };
  return {
    ...room,
    voices: mapVoices(room.voices, (v, i) => ({
      events: inOrder([...v.events, ...(taken[i]?.events ?? []).map(anew)]),
      tuplets: inOrder([...v.tuplets, ...(taken[i]?.tuplets ?? []).map(later)]),
    })),
  };
}

function laterBy(by: Ticks) {
  return <T extends { readonly onset: Ticks }>(x: T): T => ({ ...x, onset: x.onset + by });
}

/** The music of a stretch, none of it longer; what needs a note before the stretch gives way. */
function takenOut(p: Phrase, start: Ticks, end: Ticks) {
  const voices = mapVoices(p.voices, (v) => ({
    events: v.events.filter((e) => isIn(e, start, end)).map((e) => endAt(e, end)),
    tuplets: v.tuplets.filter((t) => isIn(t, start, end)),
  }));
  if (voices.every((v) => v.events.length === 0)) return null;
  const alone: Phrase = { ...p, voices };
  const mended = mendAfter(p, alone);
  const held = p.voices.some((v) => v.events.some((e) => isIn(e, start, end) && endOf(e) > end));
  return {
    voices: (mended.ok ? mended.phrase : alone).voices,
    gaveWay: mended.ok ? [...new Set(mended.gaveWay)] : [],
    held,
  };
}

/** The chords of a stretch from its first tick, without one that goes on sounding at its end. */
function chordsAgain(p: Phrase, start: Ticks, end: Ticks): Phrase['chords'] {
  const at = p.chords.filter((c) => c.onset <= start).at(-1);
  const last = p.chords.filter((c) => c.onset < end).at(-1);
  const inside = p.chords.filter((c) => c.onset > start && c.onset < end);
  const restated = at === undefined || at.symbol === last?.symbol ? [] : [{ ...at, onset: start }];
  return [...restated, ...inside];
}

function isIn(x: { readonly onset: Ticks }, start: Ticks, end: Ticks): boolean {
  return x.onset >= start && x.onset < end;
}

function inOrder<T extends { readonly onset: Ticks }>(list: readonly T[]): readonly T[] {
  return [...list].sort((a, b) => a.onset - b.onset);
}

import { handFor } from '../neck/handy-place';
import { byString } from '../phrase/rebuild';
import { playedIn } from '../phrase/tuplet';
import type { TupletRatio } from '../phrase/tuplet-ratio';
import { aTuplet } from '../phrase/tuplet-words';
import type { Note, Ticks } from '../phrase/types';
import { barOver, putNote, reachTo, withEvents, withVoice } from '../phrase/voices';
import { shiftFrom } from './lengths';
import { cannot, done, type Outcome } from './outcome';
import { eventAt, freshId, nextMoment, penTicks, tupletOver, voiceOf } from './select';
import type { EditState } from './state';

/** Whether the cursor stays on what was written, or goes on by itself. */
export type After = 'stay' | 'on';

/**
 * Writes notes at the cursor's moment with the pen's length. They are fresh; the hand follows them.
 * Inside a tuplet a plain pen takes the tuplet's own division; a pen set to tuplets makes one here.
 */
export function writeNotes(
  s: EditState,
  notes: readonly Note[],
  after: After,
  say: string,
  typed = '',
): Outcome {
  const ready = makeRoom(s);
  if (ready.kind === 'not applicable') return ready;
  const { cursor, voice } = s.selection;
  const duration = writingTicks(ready.state);
  let phrase = ready.state.phrase;
  for (const note of notes) phrase = putNote(phrase, voice, cursor.onset, duration, note);
  const hand = notes.reduce((h, n) => handFor(h, n.fret), s.pen.hand);
  const written: EditState = {
    ...s,
    phrase,
    pen: hand === s.pen.hand && s.pen.alter === 0 ? s.pen : { ...s.pen, hand, alter: 0 },
    selection: { ...s.selection, corner: null, fresh: notes.map((n) => n.id), typed },
  };
  return done(after === 'on' ? goOn(written) : written, say);
}

/**
 * The state ready for something new at the cursor: in a tuplet where the pen asks for one, and where
 * it pushes, with what begins here or later moved on. What joins a moment that is there moves nothing.
 */
export function makeRoom(s: EditState, always = false): Outcome {
  const { cursor, voice } = s.selection;
  const v = voiceOf(s);
  const joins = !always && eventAt(v, cursor.onset) !== null;
  const later = v.events.some((e) => e.onset >= cursor.onset);
  // Inside a tuplet the room is what the tuplet has.
  const pushes = s.pen.flow === 'push' && !joins && later && tupletOver(v, cursor.onset) === null;
  if (!pushes) return withTuplet(s);
  const by = s.pen.tuplet === null ? writingTicks(s) : tupletTicks(s.pen, s.pen.tuplet);
  return withTuplet({ ...s, phrase: shiftFrom(s.phrase, voice, cursor.onset, by) });
}

/** Ticks of a whole tuplet of the pen's value. */
function tupletTicks(pen: EditState['pen'], t: TupletRatio): Ticks {
  return penTicks({ ...pen, dots: 0, tuplet: null }) * t.normal;
}

/** The cursor at the next moment; what was written stays fresh. */
export function goOn(s: EditState): EditState {
  const { cursor } = s.selection;
  return {
    ...s,
    selection: {
      ...s.selection,
      cursor: { ...cursor, onset: nextMoment(s, cursor.onset) },
      typed: '',
    },
  };
}

/** Ids for so many new notes. */
export function freshIds(s: EditState, count: number): readonly string[] {
  const ids: string[] = [];
  for (let i = 0; i < count; i++) ids.push(freshId(s.phrase, ids));
  return ids;
}

/** Ticks of what is written at the cursor. */
export function writingTicks(s: EditState): Ticks {
  const t = tupletOver(voiceOf(s), s.selection.cursor.onset);
  if (t === null) return penTicks({ ...s.pen, tuplet: null });
  if (s.pen.tuplet === null) return t.duration / t.actual;
  const played = playedIn(t, penTicks({ ...s.pen, tuplet: null }));
  return Math.min(played ?? t.duration / t.actual, t.onset + t.duration - s.selection.cursor.onset);
}

/** The state with a tuplet around the cursor where the pen asks for one and there is none. */
function withTuplet(s: EditState): Outcome {
  const { pen, selection } = s;
  const { onset } = selection.cursor;
  const v = voiceOf(s);
  // What joins a moment takes the moment's length.
  const settled = eventAt(v, onset) !== null || tupletOver(v, onset) !== null;
  if (pen.tuplet === null || settled) return done(s);
  const duration = tupletTicks(pen, pen.tuplet);
  const name = aTuplet(pen.tuplet);
  const end = onset + duration;
  const phrase = reachTo(s.phrase, end);
  const bar = barOver(phrase, onset);
  if (end > bar.end) return cannot(`${name} of this value does not fit into the rest of the bar`);
  if (v.events.some((e) => e.onset >= onset && e.onset < end)) {
    return cannot(`there are notes in the way of ${name}`);
  }
  const tuplets = [...v.tuplets, { onset, duration, ...pen.tuplet }].sort(
    (a, b) => a.onset - b.onset,
  );
  return done({
    ...s,
    phrase: withVoice(phrase, selection.voice, (w) => ({ ...w, tuplets })),
  });
}

/** The phrase with an event's notes replaced, by the event's onset. */
export function replaceNotes(
  s: EditState,
  change: (n: Note) => Note,
  ids: ReadonlySet<string>,
): EditState {
  const phrase = withEvents(s.phrase, s.selection.voice, (events) =>
    events.map((e) =>
      e.notes.some((n) => ids.has(n.id))
        ? { ...e, notes: byString(e.notes.map((n) => (ids.has(n.id) ? change(n) : n))) }
        : e,
    ),
  );
  return { ...s, phrase };
}

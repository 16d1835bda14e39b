import { ticksOfValue } from '../phrase/note-value';
import { barSpans } from '../phrase/time';
import type { Note, NoteId, Phrase, PhraseEvent, Ticks, Tuplet, Voice } from '../phrase/types';
import { endOf } from '../phrase/walk';
import type { Cell, EditState, Pen, Selection } from './state';

const SILENT: Voice = { events: [], tuplets: [] };

/** The voice the cursor is in; a silent one where the phrase has no second yet. */
export function voiceOf(s: EditState): Voice {
  return s.phrase.voices[s.selection.voice] ?? SILENT;
}

/** The block of moments and strings that is chosen, both ends included. */
export interface Block {
  readonly from: Ticks;
  readonly to: Ticks;
  readonly top: number;
  readonly bottom: number;
}

/**
 * The rectangle between the cursor and its other corner: onsets in ticks, strings from 1 at the top.
 */
export function blockOf(sel: Selection): Block {
  const a = sel.cursor;
  const b = sel.corner ?? sel.cursor;
  return {
    from: Math.min(a.onset, b.onset),
    to: Math.max(a.onset, b.onset),
    top: Math.min(a.string, b.string),
    bottom: Math.max(a.string, b.string),
  };
}

/** The event that starts at an onset, and its place in the voice; null where none does. */
export function eventAt(v: Voice, onset: Ticks): { event: PhraseEvent; index: number } | null {
  const index = v.events.findIndex((e) => e.onset === onset);
  const event = v.events[index];
  return event === undefined ? null : { event, index };
}

/** The event that sounds at an onset, whether it starts there or before. */
export function eventOver(v: Voice, onset: Ticks): { event: PhraseEvent; index: number } | null {
  const index = v.events.findIndex((e) => e.onset <= onset && endOf(e) > onset);
  const event = v.events[index];
  return event === undefined ? null : { event, index };
}

/** A chosen note with its place in the voice. */
export interface Chosen {
  readonly event: PhraseEvent;
  readonly eventIndex: number;
  readonly note: Note;
}

/**
 * The notes a command is about: the chosen block's where there is one; else what was just written;
 * else the note in the cursor's cell; else, where the cursor is on no note, the whole moment under it.
 */
export function chosenNotes(s: EditState): readonly Chosen[] {
  const { selection } = s;
  const all = voiceOf(s).events.flatMap((event, eventIndex) =>
    event.notes.map((note): Chosen => ({ event, eventIndex, note })),
  );
  if (selection.corner === null) {
    if (selection.fresh.length > 0) {
      const fresh = new Set<NoteId>(selection.fresh);
      const found = all.filter((c) => fresh.has(c.note.id));
      if (found.length > 0) return found;
    }
    const here = all.filter((c) => c.event.onset === selection.cursor.onset);
    const own = here.filter((c) => c.note.string === selection.cursor.string);
    return own.length > 0 ? own : here;
  }
  const b = blockOf(selection);
  return all.filter(
    ({ event, note }) =>
      event.onset >= b.from &&
      event.onset <= b.to &&
      note.string >= b.top &&
      note.string <= b.bottom,
  );
}

/** The events a command is about, in order, each once. */
export function chosenEvents(s: EditState): readonly { event: PhraseEvent; index: number }[] {
  const seen = new Map<number, PhraseEvent>();
  for (const c of chosenNotes(s)) seen.set(c.eventIndex, c.event);
  return [...seen].map(([index, event]) => ({ event, index }));
}

/** The tuplet that holds a tick, its start included. */
export function tupletOver(v: Voice, onset: Ticks): Tuplet | null {
  return v.tuplets.find((t) => t.onset <= onset && onset < t.onset + t.duration) ?? null;
}

/** Ticks the next note gets: the pen's value, in its tuplet. */
export function penTicks(pen: Pen): Ticks {
  const plain = ticksOfValue({ value: pen.value, dots: pen.dots });
  return pen.tuplet === null ? plain : (plain * pen.tuplet.normal) / pen.tuplet.actual;
}

/**
 * How far one step of the cursor goes from a moment without a note: the pen's value, inside a
 * tuplet that is there the tuplet's own division.
 */
export function stepTicks(s: EditState, onset: Ticks): Ticks {
  const t = tupletOver(voiceOf(s), onset);
  if (t === null || s.pen.tuplet !== null) return penTicks(s.pen);
  return t.duration / t.actual;
}

/** The next place of the cursor: past the note that starts here, else a step, to the next note or bar line at most. */
export function nextMoment(s: EditState, onset: Ticks): Ticks {
  const v = voiceOf(s);
  const here = eventAt(v, onset);
  const goal = here === null ? onset + stepTicks(s, onset) : endOf(here.event);
  const stops = [
    ...v.events.map((e) => e.onset),
    // Bar lines do not stop a note that is held over them.
    ...(here === null ? barSpans(s.phrase).map((b) => b.start) : []),
  ].filter((t) => t > onset && t < goal);
  return Math.min(goal, ...stops, Math.max(onset, s.phrase.length));
}

/** The place of the cursor before this one; the same at the beginning. */
export function previousMoment(s: EditState, onset: Ticks): Ticks {
  const v = voiceOf(s);
  const before = v.events.filter((e) => e.onset < onset).at(-1);
  if (before !== undefined && endOf(before) >= onset) return before.onset;
  const bar = barSpans(s.phrase)
    .map((b) => b.start)
    .filter((t) => t < onset)
    .at(-1);
  const floor = Math.max(0, before === undefined ? 0 : endOf(before), bar ?? 0);
  const t = v.tuplets.find((x) => x.onset < onset && onset <= x.onset + x.duration);
  const step = t === undefined ? penTicks(s.pen) : t.duration / t.actual;
  // From the floor, so that stepping back meets the places stepping on went through.
  const steps = Math.ceil((onset - floor) / step) - 1;
  return Math.max(floor, floor + steps * step);
}

/** The cursor in another cell; what was fresh is settled. */
export function moveCursor(s: EditState, cursor: Cell, extend = false): EditState {
  const { selection } = s;
  const corner = extend ? (selection.corner ?? selection.cursor) : null;
  return {
    ...s,
    selection: { voice: selection.voice, cursor, corner, fresh: [], typed: '' },
  };
}

/** A new note's id: `n` and one more than the highest such number. */
export function freshId(p: Phrase, taken: readonly NoteId[] = []): NoteId {
  let most = 0;
  const look = (id: NoteId) => {
    const m = /^n(\d{1,9})$/u.exec(id);
    if (m !== null) most = Math.max(most, Number(m[1]));
  };
  for (const v of p.voices) for (const e of v.events) for (const n of e.notes) look(n.id);
  taken.forEach(look);
  return `n${most + 1}`;
}

import { fretFor, placeMidi, playableFrets } from '../neck/tuning';
import { barSpans } from '../phrase/time';
import type { Note, Phrase, PhraseEvent, Ticks, Voice } from '../phrase/types';
import { endOf } from '../phrase/walk';
import { shiftFrom } from './lengths';
import { cannot, done, type Outcome } from './outcome';
import { chosenNotes, freshId } from './select';
import type { EditState } from './state';
import { byString, dropSilentTuplets, endAt, reachTo, withVoice } from './voices';

/**
 * What is chosen as a phrase of its own: the bars it touches with their chords, in them the chosen
 * notes. So the clipboard holds nothing but our usual JSON, and every writer of files can write it.
 * Null where no note is chosen.
 */
export function copyOf(s: EditState, id: string, now: string): Phrase | null {
  const ids = new Set(chosenNotes(s).map((c) => c.note.id));
  if (ids.size === 0) return null;
  const p = s.phrase;
  const keep = (v: Voice): Voice => {
    const events = v.events.flatMap((e): PhraseEvent[] => {
      const notes = e.notes.filter((n) => ids.has(n.id));
      if (notes.length === 0) return [];
      if (notes.length === e.notes.length) return [e];
      const own = new Set(notes.map((n) => n.string));
      const { rake, graces, ...rest } = e;
      const kept = graces?.every((g) => g.notes.every((n) => own.has(n.string))) === true;
      return [{ ...rest, ...(kept ? { graces } : {}), notes: byString(notes) }];
    });
    const tuplets = v.tuplets.filter((t) =>
      events.some((e) => e.onset < t.onset + t.duration && endOf(e) > t.onset),
    );
    return { events, tuplets };
  };
  const voices = p.voices.map(keep).filter((v) => v.events.length > 0);
  const from = Math.min(...voices.map((v) => v.events[0]!.onset));
  const to = Math.max(...voices.flatMap((v) => v.events.map(endOf)));
  const spans = barSpans(p).filter((b) => b.start < to && b.end > from);
  const first = spans[0]!;
  const last = spans.at(-1)!;
  const start = first.start;
  const pickup = first.number === 0 ? p.pickup : 0;
  const bars = spans.filter((b) => b.number > 0).map((b) => ({ meter: b.bar.meter }));
  const back = <T extends { readonly onset: Ticks }>(x: T): T => ({ ...x, onset: x.onset - start });
  const [one, two] = voices.map((v) => ({
    events: v.events.map(back),
    tuplets: v.tuplets.map(back),
  }));
  if (one === undefined) return null;
  // A choice inside the pickup alone stands in a whole bar of the same metre.
  const alone = bars.length === 0;
  const length = last.end - start;
  return {
    ...p,
    id,
    parent: null,
    meta: { title: p.meta.title, tags: [], created: now, modified: now },
    pickup: alone ? 0 : pickup,
    bars: alone ? [{ meter: first.bar.meter }] : bars,
    length,
    chords: chordsBetween(p, start, last.end),
    voices: two === undefined ? [one] : [one, two],
    marks: p.marks.filter((m) => m.onset >= start && m.onset < last.end).map(back),
  };
}

/** The lane of a stretch, from its first tick. */
function chordsBetween(p: Phrase, start: Ticks, end: Ticks): Phrase['chords'] {
  const before = p.chords.filter((c) => c.onset <= start).at(-1) ?? p.chords[0];
  const inside = p.chords.filter((c) => c.onset > start && c.onset < end && c !== before);
  return [
    ...(before === undefined ? [] : [{ ...before, onset: 0 }]),
    ...inside.map((c) => ({ ...c, onset: c.onset - start })),
  ];
}

/**
 * Puts a phrase in at the cursor, its first note there: in the place of what is there, or pushing it
 * on. One voice goes into the cursor's voice, two keep theirs. Notes get new ids. On another tuning
 * they keep their pitch, on their string where it has it.
 */
export function pasteInto(s: EditState, clip: Phrase): Outcome {
  const filled = clip.voices.filter((v) => v.events.length > 0);
  if (filled.length === 0) return cannot('there is no note in it');
  const origin = Math.min(...filled.map((v) => v.events[0]!.onset));
  const span = Math.max(...filled.flatMap((v) => v.events.map(endOf))) - origin;
  const at = s.selection.cursor.onset;
  const taken: string[] = [];
  let phrase = reachTo(s.phrase, at + span);
  let moved = 0;
  for (const [i, v] of filled.entries()) {
    const voice = filled.length === 1 ? s.selection.voice : i === 0 ? 0 : 1;
    const events: PhraseEvent[] = [];
    for (const e of v.events) {
      const notes: Note[] = [];
      for (const n of e.notes) {
        const placed = placeNote(s, clip, n, notes);
        if (placed === null) return cannot(`string ${n.string} has no place for one of the notes`);
        if (placed.string !== n.string || placed.fret !== n.fret) moved++;
        const id = freshId(phrase, taken);
        taken.push(id);
        notes.push({ ...placed, id });
      }
      events.push({ ...e, onset: e.onset - origin + at, notes: byString(notes) });
    }
    const tuplets = v.tuplets.map((t) => ({ ...t, onset: t.onset - origin + at }));
    phrase = s.pen.flow === 'push' ? shiftFrom(phrase, voice, at, span) : phrase;
    phrase = withVoice(phrase, voice, (w) => ({
      events: [
        ...w.events.filter((e) => e.onset < at).map((e) => endAt(e, at)),
        ...events,
        ...w.events.filter((e) => e.onset >= at + span),
      ],
      tuplets: w.tuplets,
    }));
    phrase = dropSilentBetween(phrase, voice, at, at + span);
    phrase = withVoice(phrase, voice, (w) => ({
      ...w,
      tuplets: [...w.tuplets, ...tuplets].sort((a, b) => a.onset - b.onset),
    }));
    phrase = dropSilentTuplets(phrase, voice);
  }
  const next = {
    ...s,
    phrase,
    selection: {
      ...s.selection,
      cursor: { ...s.selection.cursor, onset: at + span },
      corner: null,
      fresh: taken,
      typed: '',
    },
  };
  const count = taken.length === 1 ? 'a note' : `${taken.length} notes`;
  const held = s.phrase.voices.some((v) => v.events.some((e) => e.onset < at && endOf(e) > at));
  return done(
    next,
    [
      `${count} put in`,
      ...(moved === 0 ? [] : [`${moved} of them on another fret or string`]),
      ...(held ? ['what was held over the place ends there'] : []),
    ].join(', '),
  );
}

/** The tuplets of a stretch go with the notes that stood in them. */
function dropSilentBetween(p: Phrase, voice: 0 | 1, from: Ticks, to: Ticks): Phrase {
  return withVoice(p, voice, (v) => ({
    ...v,
    tuplets: v.tuplets.filter((t) => !(t.onset >= from && t.onset + t.duration <= to)),
  }));
}

/** A note on this instrument; null where it has no place for it. */
function placeNote(s: EditState, clip: Phrase, n: Note, beside: readonly Note[]): Note | null {
  const { instrument } = s.phrase;
  const strings = instrument.tuning.length;
  const top = playableFrets(instrument);
  if (n.kind === 'dead') return n.string <= strings && n.fret <= top ? n : null;
  if (n.string <= strings && n.fret <= top) {
    if (placeMidi(instrument, n) === placeMidi(clip.instrument, n)) return n;
  }
  if (n.harmonic?.kind === 'natural') return null;
  const midi = placeMidi(clip.instrument, n);
  const order = [n.string, ...Array.from({ length: strings }, (_, i) => i + 1)];
  for (const string of order) {
    if (string > strings || beside.some((b) => b.string === string)) continue;
    const fret = fretFor(instrument, string, midi);
    if (fret !== null && fret <= top) return { ...n, string, fret };
  }
  return null;
}

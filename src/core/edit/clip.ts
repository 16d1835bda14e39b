import { byString } from '../phrase/rebuild';
import { barSpans } from '../phrase/time';
import type { Note, NoteId, Phrase, PhraseEvent, Ticks, Tuplet, Voice } from '../phrase/types';
import { dropSilentTuplets, endAt, gracesOn, reachTo, withVoice } from '../phrase/voices';
import { endOf, notesOf } from '../phrase/walk';
import { mendAfter } from '../validity/mend';
import { shiftFrom } from './lengths';
import { cannot, done, type Outcome } from './outcome';
import { placeAgain } from './place-again';
import { sameData } from './same';
import { chosenNotes, freshId } from './select';
import type { EditState } from './state';

/**
 * What is chosen as a phrase of its own: the bars it touches with their chords, in them the chosen
 * notes. So the clipboard holds nothing but our usual JSON, and every writer of files can write it.
 * What needs a note that was not chosen gives way: a hammer-on without its first note.
 * Null where no note is chosen.
 */
export function copyOf(s: EditState, id: string, now: string): Phrase | null {
  const ids = new Set(chosenNotes(s).map((c) => c.note.id));
  const { title } = s.phrase.meta;
  return excerptOf(s.phrase, ids, id, { title, tags: [], created: now, modified: now });
}

/** Some notes of a phrase as a phrase of its own, as `copyOf` makes it; null where there are none. */
export function excerptOf(
  p: Phrase,
  ids: ReadonlySet<NoteId>,
  id: string,
  meta: Phrase['meta'],
): Phrase | null {
  if (ids.size === 0) return null;
  const keep = (v: Voice): Voice => {
    const events = v.events.flatMap((e): PhraseEvent[] => {
      const notes = e.notes.filter((n) => ids.has(n.id));
      if (notes.length === 0) return [];
      if (notes.length === e.notes.length) return [e];
      const own = new Set(notes.map((n) => n.string));
      const { rake, graces, ...rest } = e;
      const [grace, ...more] = gracesOn(graces, (string) => own.has(string));
      const kept = grace === undefined ? {} : { graces: [grace, ...more] as const };
      return [{ ...rest, ...kept, notes: byString(notes) }];
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
  const copy: Phrase = {
    ...p,
    id,
    parent: null,
    meta,
    pickup: alone ? 0 : pickup,
    bars: alone ? [{ meter: first.bar.meter }] : bars,
    length,
    chords: chordsBetween(p, start, last.end),
    voices: two === undefined ? [one] : [one, two],
    marks: p.marks.filter((m) => m.onset >= start && m.onset < last.end).map(back),
  };
  const mended = mendAfter(p, copy);
  return mended.ok ? mended.phrase : copy;
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
 * on, both voices alike. One voice goes into the cursor's voice, two keep theirs. Notes get new ids.
 * On another tuning they keep their pitch, on their string where it has it.
 */
export function pasteInto(s: EditState, given: Phrase): Outcome {
  if (given.voices.every((v) => v.events.length === 0)) return cannot('there is no note in it');
  const placed = onInstrument(s, given);
  if (!placed.ok) return cannot(placed.because);
  const filled = placed.phrase.voices.filter((v) => v.events.length > 0);
  const origin = Math.min(...filled.map((v) => v.events[0]!.onset));
  const span = Math.max(...filled.flatMap((v) => v.events.map(endOf))) - origin;
  const at = s.selection.cursor.onset;
  const voices = filled.length === 1 ? [s.selection.voice] : ([0, 1] as const);
  const pushes = s.pen.flow === 'push';
  const cut = pushes ? cutByPush(s, voices) : null;
  if (cut !== null) return cannot(cut);
  const taken: string[] = [];
  let phrase = reachTo(s.phrase, at + span);
  if (pushes) {
    for (const voice of s.phrase.voices.keys()) {
      phrase = shiftFrom(phrase, voice === 0 ? 0 : 1, at, span);
    }
  }
  for (const [i, v] of filled.entries()) {
    const voice = voices[i]!;
    const events = v.events.map((e): PhraseEvent => {
      const notes = e.notes.map((n): Note => {
        const id = freshId(phrase, taken);
        taken.push(id);
        return { ...n, id };
      });
      return { ...e, onset: e.onset - origin + at, notes: byString(notes) };
    });
    const tuplets = v.tuplets.map((t) => ({ ...t, onset: t.onset - origin + at }));
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
  const held = voices.some((v) => s.phrase.voices[v]?.events.some((e) => isOver(e, at)));
  return done(
    next,
    [
      `${count} put in`,
      ...(placed.moved === 0 ? [] : [`${placed.moved} of them on another fret or string`]),
      ...(held ? ['what was held over the place ends there'] : []),
    ].join(', '),
  );
}

/** What is put in on the instrument it comes to, and how many notes lie elsewhere there. */
function onInstrument(
  s: EditState,
  given: Phrase,
):
  | { readonly ok: true; readonly phrase: Phrase; readonly moved: number }
  | { readonly ok: false; readonly because: string } {
  const { tuning, capo, frets } = s.phrase.instrument;
  const from = given.instrument;
  const same = capo === from.capo && frets === from.frets && sameData(tuning, from.tuning);
  if (same) return { ok: true, phrase: given, moved: 0 };
  const placed = placeAgain(given, s.phrase.instrument);
  if (!placed.ok) return placed;
  const before = new Map(notesOf(given).map(({ note }) => [note.id, note]));
  const moved = notesOf(placed.phrase).filter(({ note }) => {
    const was = before.get(note.id);
    return was?.string !== note.string || was.fret !== note.fret;
  });
  return { ok: true, phrase: placed.phrase, moved: moved.length };
}

/** Why what comes later cannot be pushed on in a voice that nothing is put in; null where it can. */
function cutByPush(s: EditState, voices: readonly (0 | 1)[]): string | null {
  const at = s.selection.cursor.onset;
  for (const [i, v] of s.phrase.voices.entries()) {
    if (voices.includes(i === 0 ? 0 : 1)) continue;
    if (v.events.some((e) => isOver(e, at))) return 'the other voice holds a note over this place';
    if (v.tuplets.some((t) => isOver(t, at))) return 'the other voice has a tuplet over this place';
  }
  return null;
}

/** Whether something that has begun goes on over a moment. */
function isOver(x: PhraseEvent | Tuplet, at: Ticks): boolean {
  return x.onset < at && x.onset + x.duration > at;
}

/** The tuplets of a stretch go with the notes that stood in them. */
function dropSilentBetween(p: Phrase, voice: 0 | 1, from: Ticks, to: Ticks): Phrase {
  return withVoice(p, voice, (v) => ({
    ...v,
    tuplets: v.tuplets.filter((t) => !(t.onset >= from && t.onset + t.duration <= to)),
  }));
}

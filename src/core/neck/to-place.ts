import { fretFor, openMidi, playableFrets } from '../phrase/instrument';
import { SHORTEST_TICKS } from '../phrase/note-value';
import type { NoteId, Phrase, PhraseEvent, Place } from '../phrase/types';
import { endOf } from '../phrase/walk';
import { fail, ok, type Result } from '../result';
import { midiOf } from '../theory/pitch';
import { playElsewhere } from './apply';
import { checkPlayable, type Violation } from './playable';
import { graceKey } from './timeline';

/** Another place at which chosen notes sound as they do, or why they cannot be played there. */
export interface OtherPlace extends Place {
  readonly phrase: Result<Phrase>;
}

/**
 * Every other place at which some notes of one place sound the same pitch, by string. Notes that
 * hang on them go along: what is hammered, pulled off or slid on the string, and graces.
 * @param ids notes that share a place; dead notes and natural harmonics have no other.
 */
export function otherPlaces(p: Phrase, ids: readonly NoteId[]): readonly OtherPlace[] {
  const first = p.voices
    .flatMap((v) => v.events.flatMap((e) => e.notes))
    .find((n) => n.id === ids[0]);
  if (first === undefined || first.kind === 'dead' || first.harmonic?.kind === 'natural') return [];
  const before = checkPlayable(p);
  return p.instrument.tuning.flatMap((_, k): OtherPlace[] => {
    const string = k + 1;
    if (string === first.string) return [];
    const fret = fretFor(p.instrument, string, midiOf(first.pitch));
    return fret === null ? [] : [{ string, fret, phrase: movedTo(p, ids, string, before) }];
  });
}

function movedTo(
  p: Phrase,
  ids: readonly NoteId[],
  string: number,
  before: readonly Violation[],
): Result<Phrase> {
  const places = new Map<NoteId, Place>();
  for (const { events } of p.voices) {
    for (const [i, e] of events.entries()) {
      const n = e.notes.find((x) => ids.includes(x.id));
      if (n === undefined) continue;
      for (const at of chainAt(events, i, n.string)) {
        const event = events[at]!;
        const trouble = takeAlong(p, event, n.string, string, places);
        if (trouble !== null) return fail({ message: trouble });
      }
    }
  }
  const next = playElsewhere(p, { places });
  const known = new Set(before.map((v) => `${v.rule} ${v.onset}`));
  const broken = checkPlayable(next).find((v) => !known.has(`${v.rule} ${v.onset}`));
  return broken === undefined ? ok(next) : fail({ message: broken.message });
}

/** The moments that hang on one another on a string: each begins where the one before it ends. */
function chainAt(events: readonly PhraseEvent[], index: number, string: number): readonly number[] {
  const hangs = (i: number) => {
    const n = events[i]?.notes.find((x) => x.string === string);
    if (n?.kind !== 'pitched' || n.attack === undefined || n.attack === 'tap') return false;
    // What hangs on a grace does not hang on the moment before.
    if (events[i]!.graces?.some((g) => g.notes.some((x) => x.string === string))) return false;
    const earlier = events[i - 1];
    return earlier !== undefined && endOf(earlier) === events[i]!.onset;
  };
  let from = index;
  while (hangs(from)) from--;
  let to = index;
  while (hangs(to + 1)) to++;
  return Array.from({ length: to - from + 1 }, (_, k) => from + k);
}

/** Puts the note on a string, with its graces, on another; says what is in the way. */
function takeAlong(
  p: Phrase,
  e: PhraseEvent,
  from: number,
  to: number,
  places: Map<NoteId, Place>,
): string | null {
  if (e.notes.some((n) => n.string === to)) return `string ${to} is played at the same time`;
  const by = openMidi(p.instrument, from) - openMidi(p.instrument, to);
  const last = playableFrets(p.instrument);
  const put = (id: NoteId, fret: number) => {
    places.set(id, { string: to, fret: fret + by });
    return fret + by >= 0 && fret + by <= last;
  };
  let fits = true;
  for (const n of e.notes) {
    if (n.string !== from || n.kind === 'dead') continue;
    if (n.pinned) return 'the note is pinned to its string';
    fits = put(n.id, n.fret) && fits;
  }
  e.graces?.forEach((g, i) => {
    g.notes.forEach((n, k) => {
      if (n.string === from) fits = put(graceKey(e, i, k), n.fret) && fits;
    });
  });
  return fits ? null : 'what hangs on it would leave the neck';
}

/** A note by itself, to be heard: with its bend, vibrato and slide-in, for a beat or two. */
export function noteAlone(p: Phrase, id: NoteId): Phrase | null {
  for (const { events } of p.voices) {
    for (const e of events) {
      const note = e.notes.find((n) => n.id === id);
      if (note === undefined) continue;
      const meter = { beats: 4, beatType: 4 } as const;
      // A third of two half notes is no length outside its tuplet (T1).
      const whole = Math.round(e.duration / SHORTEST_TICKS) * SHORTEST_TICKS;
      const duration = Math.min(Math.max(whole, 10_080), 20_160);
      const { attack: _, ...plain } = note.kind === 'pitched' ? note : { ...note, attack: null };
      return {
        ...p,
        feel: { kind: 'straight' },
        pickup: 0,
        bars: [{ meter }],
        length: 40_320,
        chords: [],
        marks: [],
        voices: [{ events: [{ onset: 0, duration, notes: [plain as typeof note] }], tuplets: [] }],
      };
    }
  }
  return null;
}

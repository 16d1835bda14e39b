import { positionOf } from '../phrase/time';
import type { Bend, Note, NoteId, Phrase, PitchedNote } from '../phrase/types';
import { mapNotes, notesOf } from '../phrase/walk';
import { fail, ok, type Problem, type Result } from '../result';
import { midiOf, type Pitch } from '../theory/pitch';
import { type Analysis, analyse } from '../understand/analyse';
import { chordSpans, readsAsAnticipation, spanAt } from '../understand/owner';
import { fitHand } from './fit';
import { handTask } from './hand';
import { storeLane } from './lane';
import { chooseOctaves } from './octave';
import { planPitches } from './pitches';
import { adapted, heardOf, type MovePlan, type NotePlan, shiftPlan } from './plan';
import { makeReport } from './report';
import type {
  Adaptation,
  Destination,
  HandWay,
  Moved,
  MoveRequest,
  Suggestion,
  Way,
} from './request';
import { suggestFor } from './suggest';
import { findTarget, type Target } from './target';
import { planTonal } from './tonal';

/** M1, M2: the way that is meant when none is named. */
export function defaultWay(to: Destination): Way {
  switch (to.kind) {
    case 'key':
      return 'real';
    case 'steps':
      return 'tonal';
    default:
      return 'chord';
  }
}

/**
 * Moves a phrase to a key, a chord, a lane of chords or by scale steps, with what each note is kept
 * as the way says (M1 to M13). Pure: the given phrase is untouched, note ids are kept, and the report
 * has a line for every note with pitch.
 * @returns The moved phrase and its report; or why it cannot be: a way that does not go with the
 *   destination, a lane of another length, notes that lie on no instrument in any octave.
 */
export function movePhrase(p: Phrase, request: MoveRequest): Result<Moved> {
  const way = request.way ?? defaultWay(request.to);
  const wrong = mismatch(request.to, way);
  if (wrong !== null) return fail(wrong);
  const found = findTarget(p, request.to, way);
  if (!found.ok) return found;
  const before = analyse(p);
  const { plan, target } = planAll(before, found.value, request.to, way);
  const shifts =
    way === 'tonal' || way === 'hold' ? [] : chooseOctaves(plan, request.octave ?? 'nearest');
  const moved = shiftAll(plan, shifts);
  const hand = request.hand ?? 'shape';
  return place(p, before, target, moved, { way, hand, shifts, adapt: request.adapt === true });
}

function mismatch(to: Destination, way: Way): Problem | null {
  if (way === 'tonal' && to.kind !== 'steps') {
    return {
      message: 'the way tonal needs a number of scale steps, and goes with no other destination',
      fix: 'Give --steps N, for example 2 for up a third, or choose real, chord or hold.',
    };
  }
  if (to.kind === 'steps' && way !== 'tonal') {
    return {
      message: `scale steps cannot be combined with the way ${way}`,
      fix: 'Choose the way tonal.',
    };
  }
  return null;
}

function planAll(
  before: Analysis,
  target: Target,
  to: Destination,
  way: Way,
): { plan: MovePlan; target: Target } {
  if (to.kind === 'steps') return { plan: planTonal(before, target, to.steps), target };
  if (way === 'tonal') throw new RangeError('tonal without steps was refused before');
  return planPitches(before, target, way);
}

function shiftAll(plan: MovePlan, shifts: readonly number[]): MovePlan {
  const notes = plan.notes.map((n) =>
    n.segment === null ? n : shiftPlan(n, shifts[n.segment] ?? 0),
  );
  return { ...plan, notes, byId: new Map(notes.map((n) => [n.reading.note.id, n])) };
}

interface Wish {
  readonly way: Way;
  readonly hand: HandWay;
  readonly shifts: readonly number[];
  readonly adapt: boolean;
}

function place(
  p: Phrase,
  before: Analysis,
  target: Target,
  plan: MovePlan,
  wish: Wish,
): Result<Moved> {
  const frame: Phrase = { ...p, key: target.key, chords: storeLane(target.changes) };
  const held = wish.way === 'hold';
  const motion = plan.notes.reduce(
    (sum, n) => sum + midiOf(heardOf(n)) - midiOf(n.reading.heard.pitch),
    0,
  );
  const fit = fitHand(handTask(p, frame, plan.notes), wish.hand, motion, !held);
  if (fit === null) return fail(noRoom(p, plan));
  const settled = settle(p, before, target, fit.placed.phrase);
  const suggestions = held
    ? analyse(settled.phrase).readings.flatMap((r) => suggestFor(r, target.key) ?? [])
    : [];
  const parts = { before, plan, way: wish.way, shifts: wish.shifts };
  if (!wish.adapt || suggestions.length === 0) {
    const report = makeReport({
      ...parts,
      fit,
      result: settled.phrase,
      suggestions,
      extra: settled.said,
    });
    return ok({ phrase: settled.phrase, report });
  }
  const changed = applySuggestions(plan, suggestions);
  const again = fitHand(
    handTask(p, withBends(frame, suggestions), changed.notes),
    wish.hand,
    motion,
    false,
  );
  if (again === null) return fail(noRoom(p, changed));
  const result = settle(p, before, target, again.placed.phrase);
  const left = suggestions.filter((s) => s.pitch === undefined && s.bendTo === undefined);
  const report = makeReport({
    ...parts,
    plan: changed,
    fit: again,
    result: result.phrase,
    suggestions: left,
    extra: result.said,
  });
  return ok({ phrase: result.phrase, report });
}

function noRoom(p: Phrase, plan: MovePlan): Problem {
  const highest = plan.notes.reduce(
    (a, b) => (midiOf(b.start) > midiOf(a.start) ? b : a),
    plan.notes[0]!,
  );
  const at = positionOf(p, highest.reading.at.onset);
  return {
    message: `the moved notes do not fit on ${p.instrument.name} in any octave`,
    ...at,
    fix: 'Choose another destination or octave, or an instrument with more frets.',
  };
}

/** Anticipations, finger numbers and the order of notes, once every note has its place. */
function settle(
  p: Phrase,
  before: Analysis,
  target: Target,
  placed: Phrase,
): { phrase: Phrase; said: ReadonlyMap<NoteId, readonly Adaptation[]> } {
  const said = new Map<NoteId, readonly Adaptation[]>();
  const flagged = setAnticipations(placed, before, target);
  const keepsFingers = isSameShape(p, flagged);
  const phrase = keepsFingers
    ? flagged
    : mapNotes(flagged, ({ note }) => {
        if (note.kind === 'dead' || note.finger === undefined) return note;
        said.set(note.id, [
          adapted('M12', `finger ${note.finger} was taken off: the shape is another one`, true),
        ]);
        const { finger: _, ...rest } = note;
        return rest;
      });
  return { phrase, said };
}

/** Whether every note lies on its old string, all shifted by the same number of frets and none open. */
function isSameShape(p: Phrase, q: Phrase): boolean {
  const places = new Map(notesOf(p).map(({ note }) => [note.id, note]));
  let shift: number | null = null;
  for (const { note } of notesOf(q)) {
    const was = places.get(note.id);
    if (was === undefined || note.kind === 'dead') continue;
    if (was.string !== note.string) return false;
    if ((was.fret === 0) !== (note.fret === 0)) return false;
    if (note.fret === 0) continue;
    shift ??= note.fret - was.fret;
    if (note.fret - was.fret !== shift) return false;
  }
  return true;
}

/**
 * A note keeps belonging to the present or the next chord as it did (D2): where the rule would read
 * it otherwise over the new chords, what it was is written down; where the rule agrees, nothing is.
 */
function setAnticipations(q: Phrase, before: Analysis, target: Target): Phrase {
  const spans = chordSpans(q);
  return mapNotes(q, ({ note, event, voice, eventIndex }) => {
    const was = before.byId.get(note.id);
    if (note.kind === 'dead' || was === undefined) return note;
    const here = spanAt(spans, event.onset);
    const next = here === null ? undefined : spans[here.index + 1];
    if (here === null || next === undefined) return withoutFlag(note);
    // Without a change where the old one was there is nothing left to anticipate.
    const kept = was.anticipates && target.changes.some((c) => c.onset === was.owner?.onset);
    const read = readsAsAnticipation(
      note,
      event,
      q.voices[voice]?.events[eventIndex + 1],
      here,
      next,
    );
    if (read === kept) return withoutFlag(note);
    return note.anticipation === kept ? note : { ...note, anticipation: kept };
  });
}

function withoutFlag(note: PitchedNote): Note {
  if (note.anticipation === undefined) return note;
  const { anticipation: _, ...rest } = note;
  return rest;
}

/** `--adapt`: the suggestions become part of the plan. */
function applySuggestions(plan: MovePlan, suggestions: readonly Suggestion[]): MovePlan {
  const byId = new Map(suggestions.map((s) => [s.id, s]));
  const notes = plan.notes.map((n): NotePlan => {
    const s = byId.get(n.reading.note.id);
    if (s === undefined) return n;
    if (s.pitch !== undefined) return lower(n, s.pitch, s.text);
    if (s.bendTo === undefined) return n;
    return {
      ...n,
      target: s.bendTo,
      adaptations: [...n.adaptations, adapted('M6', s.text, false)],
    };
  });
  return { ...plan, notes, byId: new Map(notes.map((n) => [n.reading.note.id, n])) };
}

/** The heard pitch is what a suggestion changes: the target of a bend, whose start follows by M10. */
function lower(n: NotePlan, pitch: Pitch, why: string): NotePlan {
  const adaptations = [...n.adaptations, adapted('M6', why, false)];
  return n.target === null
    ? { ...n, start: pitch, adaptations }
    : { ...n, target: pitch, adaptations };
}

/** The frame with the bends that suggestions add. */
function withBends(frame: Phrase, suggestions: readonly Suggestion[]): Phrase {
  const byId = new Map(suggestions.map((s) => [s.id, s]));
  return mapNotes(frame, ({ note }) => {
    const to = byId.get(note.id)?.bendTo;
    if (note.kind === 'dead' || to === undefined) return note;
    const bend: Bend = {
      shape: 'bend',
      target: to,
      curve: [
        { at: 0, amount: 0 },
        { at: 50, amount: 100 },
        { at: 100, amount: 100 },
      ],
    };
    return { ...note, bend };
  });
}

import { positionOf } from '../phrase/time';
import type { Bend, Phrase } from '../phrase/types';
import { mapNotes } from '../phrase/walk';
import { fail, ok, type Problem, type Result } from '../result';
import { midiOf, type Pitch } from '../theory/pitch';
import { type Analysis, analyse } from '../understand/analyse';
import { moveBeat } from './beat-move';
import { fitHand } from './fit';
import { defaultWay, wayProblem } from './goal';
import { handTask } from './hand';
import { storeLane } from './lane';
import { chooseOctaves, rangeOf } from './octave';
import { moveOctaves } from './octave-move';
import { sayOctaves } from './octave-words';
import { planPitches } from './pitches';
import { adapted, heardOf, type MovePlan, type NotePlan, shiftPlan } from './plan';
import { makeReport } from './report';
import type { HandWay, Moved, MoveRequest, Suggestion, Way } from './request';
import { settle } from './settle';
import { suggestFor } from './suggest';
import { findTarget, type Target, type Toward } from './target';
import { planTonal } from './tonal';

/**
 * Moves a phrase to a key, a chord, a lane of chords, by scale steps, by octaves or to another beat,
 * with what each note is kept as the way says (M1 to M13). Pure: the given phrase is untouched, note ids are kept, and the report
 * has a line for every note with pitch.
 * @returns The moved phrase and its report; or why it cannot be: a way that does not go with the
 *   destination, a lane of another length, notes that lie on no instrument in any octave.
 */
export function movePhrase(p: Phrase, request: MoveRequest): Result<Moved> {
  const { to } = request;
  const way = request.way ?? defaultWay(to);
  const wrong = wayProblem({ ...request, way }, p.key);
  if (wrong !== null) return fail(wrong);
  if (to.kind === 'octaves') return moveOctaves(p, to.octaves, request.hand);
  if (to.kind === 'beat') return moveBeat(p, to.at);
  const found = findTarget(p, to);
  if (!found.ok) return found;
  const before = analyse(p);
  const { plan, target } = planAll(before, found.value, to, way);
  const octave = request.octave ?? 'nearest';
  const shifts =
    way === 'tonal' || way === 'hold' ? [] : chooseOctaves(plan, octave, rangeOf(p.instrument));
  const said = shifts.length === 0 ? [] : sayOctaves(plan, octave, shifts);
  const moved = shiftAll({ ...plan, general: [...plan.general, ...said] }, shifts);
  const hand = request.hand ?? 'shape';
  return place(p, before, target, moved, { way, hand, shifts, adapt: request.adapt === true });
}

function planAll(
  before: Analysis,
  target: Target,
  to: Toward,
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
  const settled = settle(p, before, target.changes, fit.placed.phrase);
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
  const result = settle(p, before, target.changes, again.placed.phrase);
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
